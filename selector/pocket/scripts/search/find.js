// The nearest settings to targets: every call carried out over classes of selectors, what limits say of them, and
// why nothing fits.
const OF_HEAT = new Set(["temperature rise", "outlet limit"]);
// A target: {call, stage, quantity, low, high, weight, of}, calls and stages by number.
class Search {
  constructor(engine, targets, found, held) {
    Object.assign(this, { engine, targets, found, held });
    this.factors = engine.table.calls.map((call, c) => this.factor(call, c));
    this.carried = this.carriedOut();
  }
  asked(c, s) {
    const plan = this.engine.stages[c][s];
    return plan.points[plan.asked];
  }
  factor(call, c) {
    const f = { name: call.n, c, list: new Set(), judged: [], keep: new Set(), running: [] };
    f.targets = this.targets.filter((t) => t.call === c);
    call.stages.forEach((_, s) => {
      f.running.push(this.asked(c, s));
      const points = new Set([this.asked(c, s), ...this.engine.stages[c][s].points]);
      for (const p of points) this.add(f, c, s, p, true, false);
    });
    for (const t of f.targets) {
      this.add(f, c, t.stage, this.asked(c, t.stage), false, t.quantity === "temperature rise");
      if (t.of) this.add(f, ...t.of, this.asked(...t.of), false, false);
    }
    f.list = [...f.list];
    f.bent = call.stages.map((_, s) => s).filter((s) => this.engine.model.bends[c][s]);
    return f;
  }
  add(f, c, s, point, limits, wanted) {
    const [airflow, warm, ends] = point.do,
      list = (group) => group.forEach((n) => f.list.add(n));
    list(airflow);
    f.keep.add(point.air);
    const usable = (limits ? point.limits : []).filter(([, , , , , , missing]) => !missing);
    if (wanted || usable.some(([quantity]) => OF_HEAT.has(quantity))) {
      list(warm);
      if (point.heat !== null) f.keep.add(point.heat);
    }
    if (limits) {
      list(ends);
      for (const n of ends) f.keep.add(this.engine.do(n).x);
    }
    for (const x of usable) f.judged.push([s, point, x]);
  }
  readings(list) {
    return list.flatMap((n) => {
      const i = this.engine.do(n);
      return [...(i.if || []), ...(i.r ? [i.r] : [])];
    });
  }
  askedParts() {
    const out = new Set(),
      stages = this.engine.stages.flat(),
      heats = new Set(stages.map((plan) => plan.points[plan.asked].heat));
    const of = (c, heat) => {
      for (const plan of this.engine.stages[c]) {
        const point = plan.points[plan.asked],
          steps = point.do[0].filter((n) => this.engine.do(n).o !== "stands" && !heats.has(this.engine.do(n).x));
        for (const r of this.readings([...steps, ...(heat ? point.do[1] : [])])) for (const p of r.p) out.add(p);
      }
    };
    for (const t of this.targets) {
      of(t.call, t.quantity === "temperature rise");
      if (t.of) of(t.of[0], false);
    }
    return out;
  }
  ranked(limits = "kept", first = FIRST, near = NEAR) {
    // limits kept, costly or none
    if (!this.carried) return [];
    const { groups, single, folds, allowed } = this.carried;
    const tables = folds.map(({ f, scope, states, guarded }) => ({
      scope,
      asked: f.targets.length > 0,
      entries: states.flatMap((state) => {
        const cost = this.cost(f, state, guarded, limits);
        return cost === null ? [] : [{ key: scope.map((g) => state.classes[g]), cost, ways: state.ways }];
      }),
    }));
    tables.push(...allowed);
    return tables.some((t) => !t.entries.length) ? [] : lowest(this.space, tables, groups, single, first, near);
  }
  carriedOut() {
    // everything that doesn't depend on how limits count; null where what is fixed can't be
    const read = this.factors.map((f) => this.readings(f.list)),
      { labels } = this.engine,
      all = distinct([...read.flat(), ...labels]);
    this.space = spaceOf(this.engine, this.found, this.held, new Set(all.flatMap((r) => r.p)), this.askedParts());
    const fixed = this.space.standing.map((at, p) => (this.space.fixed.has(p) ? at : null));
    if (this.engine.clash(fixed).size) return null;
    const groups = new Groups(this.engine, this.space, all, FIRST, true, new Map(), labels);
    const uses = groups.all.map(() => 0),
      touched = (rs) => new Set(rs.flatMap((r) => groups.of(r)));
    const others = labels.filter((r) => groups.of(r).length);
    for (const [n, f] of this.factors.entries()) {
      // ways of its own stay with an asked call only where it reads nothing that nobody asks about
      const mixed = f.targets.length && [...touched(read[n])].some((g) => !groups.all[g].asked);
      for (const g of touched(read[n])) uses[g] += f.bent.length || mixed ? 2 : 1;
    }
    for (const r of others) for (const n of groups.of(r)) uses[n] += 2;
    const pairs = this.splitLeads(groups);
    for (const n of pairs.flat()) uses[n] = 2;
    const single = new Set(uses.flatMap((n, g) => (n === 1 ? [g] : [])));
    const folds = this.factors.map((f, n) => this.folded(f, groups, touched(read[n]), single));
    const allowed = [...others.map((r) => this.allowed(r, groups)), ...pairs.map((pair) => this.leads(pair, groups))];
    return { groups, single, folds, allowed };
  }
  splitLeads(groups) {
    // pairs of groups that hold leads of one selector, asked and not
    const by = new Map();
    groups.all.forEach((g, n) => {
      if (g.lead >= 0) by.set(g.lead, [...(by.get(g.lead) || []), n]);
    });
    return [...by.values()].filter((ns) => ns.length === 2);
  }
  leads([a, b], groups) {
    const [one, other] = [groups.all[a], groups.all[b]],
      parked = this.engine.table.parts[one.parts[0]].p.length - 1,
      entries = [];
    one.classes.forEach((x, c) =>
      other.classes.forEach((y, d) => {
        if (x.way.some((t) => t !== parked && y.way.includes(t))) return;
        entries.push({ key: [c, d], cost: ZERO, ways: [{ m: 0, o: groups.none, picks: [] }] });
      }),
    );
    return { scope: [a, b], entries };
  }
  folded(f, groups, touched, single) {
    const own = new Set([...touched].filter((g) => single.has(g))),
      scope = [...touched].filter((g) => !single.has(g)).sort((a, b) => a - b);
    const states = groups.walk(f.list, f.keep, own);
    for (const state of states) {
      state.judged = this.judged(f, state.get);
      if (f.bent.length) {
        const at = [...this.space.standing];
        for (const g of touched) groups.put(at, g, groups.all[g].classes[state.classes[g]].way);
        for (const s of f.bent)
          for (const one of this.engine.bends(f.c, s, at)) if (one.ok !== null) state.judged.push([s, one]);
      }
    }
    return { f, scope, states, guarded: this.guarded(f, states) };
  }
  guarded(f, states) {
    // the stages that run for certain as the board stands, and that some setting lets run: no setting may stop them
    const { space, engine } = this,
      told = (p) => space.fixed.has(p) && space.fixed.get(p)[1] === "fact",
      standing = space.baseline.map((at, p) => (told(p) ? space.fixed.get(p)[0] : at)),
      board = new Board(engine, standing),
      stopped = (x) => isNo(x) && x.k === RUNS,
      runs = f.list.map((n) => engine.do(n)).filter((i) => i.o === "runs");
    return new Set(
      f.running.filter((point) => {
        const x = board.air(point),
          whens = runs.filter((i) => i.x === point.air).flatMap((i) => (i.if || []).flatMap((r) => r.p));
        const open = isNo(x) && x.k !== NOT_USABLE && x.k !== OUTSIDE && whens.some((p) => standing[p] === null);
        return !open && !stopped(x) && !states.every((state) => stopped(finished(state.get(point.air))));
      }),
    );
  }
  never(c, s) {
    // refused wherever it runs, at every position of the board: not to be had
    const key = `${c} ${s}`;
    this.nevers ??= new Map();
    if (!this.nevers.has(key)) {
      const { engine, space } = this,
        { table, model } = engine,
        fixed = new Map([...space.fixed].filter(([p]) => model.declared[p]));
      const free = table.parts.map((_, p) => p).filter((p) => !fixed.has(p));
      const domains = new Map(free.map((p) => [p, table.parts[p].p.map((_, i) => i)]));
      const standing = space.baseline.map((at, p) => (fixed.has(p) ? fixed.get(p)[0] : at)),
        read = readBy(engine, c, s);
      for (const leads of table.exclusive) if (leads.some((p) => read.has(p))) for (const p of leads) read.add(p);
      const whole = narrowed({ ...space, fixed, searched: free, domains, standing }, read);
      const { airflows, noes } = airflowsOver(engine, c, s, whole, false, new Map());
      const refused = (no) => no.k === NOT_USABLE || no.k === OUTSIDE;
      this.nevers.set(key, !airflows.length && noes.some(refused) && noes.every((no) => refused(no) || no.k === RUNS));
    }
    return this.nevers.get(key);
  }
  judged(f, get) {
    // the limits that can be judged
    const out = [];
    for (const [s, point, limit] of f.judged) {
      const air = finished(get(point.air));
      if (isNo(air)) continue;
      const warm = point.heat === null ? null : get(point.heat);
      const one = this.engine.judge(limit, f.c, s, point, air, warm === null ? null : finished(warm), (x) =>
        x === null ? null : get(x),
      );
      if (one.ok !== null) out.push([s, one]);
    }
    return out;
  }
  allowed(r, groups) {
    const scope = groups.of(r),
      at = [...this.space.standing],
      entries = [];
    for (const key of product(scope.map((g) => [...groups.all[g].classes.keys()]))) {
      scope.forEach((g, n) => groups.put(at, g, groups.all[g].classes[key[n]].way));
      if (!this.engine.unread(r, at)) {
        const n = groups.look(r, at),
          value = n === -3 ? null : n < 0 ? { k: NOT_USABLE } : this.engine.leaf(n).value;
        if (value !== null && isNo(value) && value.k === NOT_USABLE) continue;
      }
      entries.push({ key, cost: ZERO, ways: [{ m: 0, o: groups.none, picks: [] }] });
    }
    return { scope, entries };
  }
  cost(f, { get, judged }, guarded, limits) {
    // null where a stage is refused or stopped, or a limit is broken where limits are kept
    let total = ZERO;
    for (const [s, point] of f.running.entries()) {
      const x = finished(get(point.air));
      if (!isNo(x)) continue;
      if (x.k === RUNS && guarded.has(point)) return null;
      if ((x.k === NOT_USABLE || x.k === OUTSIDE) && !this.never(f.c, s)) return null;
    }
    if (limits !== "none")
      for (const [, one] of judged)
        if (one.ok === false) {
          if (limits === "kept") return null;
          total = plus(total, times(whole(1000), plus(ONE, one.miss || ZERO)));
        }
    for (const t of f.targets) {
      const point = this.asked(t.call, t.stage),
        air = finished(get(point.air));
      const heat = point.heat === null ? null : get(point.heat),
        other = t.of ? finished(get(this.asked(...t.of).air)) : null;
      const value = isNo(air) ? null : this.got(t, air, heat, other);
      if (value === null) return null;
      total = plus(total, times(t.weight, beyond(value, t.low, t.high)));
    }
    return total;
  }
  got(t, air, heat, other) {
    if (t.quantity === "airflow") return air;
    if (t.quantity === "airflow per ton") {
      const tons = this.engine.running(t.call, t.stage);
      return tons === null ? null : over(air, tons);
    }
    if (t.quantity === "temperature rise")
      return heat === null || !isFigure(heat) || !air.n ? null : over(heat, times(this.engine.factor, air));
    return other === null || !isFigure(other) || !other.n ? null : over(times(HUNDRED, air), other);
  }
}
const notJudged = (engine, setting) =>
  engine
    .evaluate(setting)
    .flat()
    .flatMap((s) => s.open.map(([limit, why]) => [s, limit, why]));
function find(engine, targets, found, held = new Map()) {
  // `held`: part -> position
  const search = new Search(engine, targets, found, held),
    ranked = search.ranked(),
    { space } = search;
  if (ranked.length)
    return {
      ranked,
      space,
      notJudged: notJudged(engine, ranked[0].setting),
      miss: null,
      nearer: nearer(search, ranked[0]),
    };
  const [nearest] = search.ranked("costly", 1, ZERO),
    standing = nearest ? nearest.setting : space.standing,
    calls = engine.evaluate(standing);
  const miss = nearest
    ? { broken: calls.flat().flatMap((s) => s.judged.filter((j) => j.ok === false).map((j) => [s, j])), refused: [] }
    : {
        broken: [],
        refused: targets.flatMap((t) => {
          const s = calls[t.call][t.stage],
            tonless = t.quantity === "airflow per ton" && engine.tons === null;
          const { airflows, noes } = offeredOver(engine, space, t.call, t.stage);
          const open = noes.filter((n) => n.k === UNKNOWN); // told, it may give an airflow
          const why = (open.length ? open : noes).reduce((a, b) => (b.k < a.k ? b : a), { k: Infinity });
          if (!airflows.length && noes.length) return [{ ...s, air: why }];
          return tonless ? [{ ...s, air: no(UNKNOWN, "outdoor tons are not given") }] : [];
        }),
      };
  // Held positions to blame: without any one of these a setting fits; where there is none, without all together.
  const without = (free) => new Map([...held].filter(([p]) => !free.includes(p)));
  const fits = (free) => new Search(engine, targets, found, without(free)).ranked("kept", 1, ZERO).length > 0,
    parts = [...held.keys()];
  miss.nearest = nearest || null;
  miss.blame = parts.filter((p) => fits([p]));
  miss.together = !miss.blame.length && parts.length > 1;
  if (miss.together && fits(parts)) miss.blame = parts;
  return { ranked: [], space, notJudged: notJudged(engine, nearest ? standing : space.standing), miss, nearer: null };
}
function nearer(search, best) {
  // the nearest if limits were none, where it is nearer than the best by more than a point
  if (compare(best.deviation, NEAR) <= 0) return null;
  const [one] = search.ranked("none", 1, ZERO);
  return one && compare(plus(one.deviation, NEAR), best.deviation) < 0 ? one : null;
}
