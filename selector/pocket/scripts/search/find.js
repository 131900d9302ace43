// The nearest settings to targets: every call carried out over classes of selectors, what limits say of them, and
// why nothing fits.
const OF_HEAT = new Set(["temperature rise", "outlet limit"]);
// A target: {call, stage, quantity, low, high, weight, of}, calls and stages by number.
class Search {
  constructor(engine, targets, found, held) {
    Object.assign(this, { engine, targets, found, held });
    const unknown = this.untold(),
      key = unknown.join();
    if (!engine.worlds.has(key)) engine.worlds.set(key, new Worlds(engine, unknown));
    this.worlds = engine.worlds.get(key);
    this.factors = engine.table.calls.map((call, c) => this.factor(call, c));
    this.carried = this.carriedOut();
  }
  untold() {
    // the selectors that declare equipment which nobody knows, and that stand nobody knows where
    const { engine, held } = this,
      baseline = baselineOf(engine, this.found);
    return baseline.flatMap((at, p) =>
      engine.model.declared[p] && at === null && !held.has(p) && declaredPosition(engine, p) === null ? [p] : [],
    );
  }
  asked(c, s) {
    const plan = this.engine.plan(c, s);
    return plan.points[plan.asked];
  }
  running(c, s, heat = false) {
    // a stage that somebody asks for, and the worlds in which it stands apart
    return { c, s, point: this.asked(c, s), worlds: this.worlds.of(c, s, heat) };
  }
  factor(call, c) {
    const f = { name: call.n, c, list: new Set(), judged: [], keep: new Set(), running: [] };
    f.targets = this.targets.filter((t) => t.call === c);
    call.stages.forEach((_, s) => {
      const stage = this.running(c, s);
      f.running.push(stage);
      const points = new Set([stage.point, ...this.engine.plan(c, s).points]);
      for (const point of points) this.add(f, { ...stage, point }, true);
    });
    for (const t of f.targets) {
      const heat = t.quantity === "temperature rise";
      this.add(f, this.running(c, t.stage, heat), false, heat);
      if (t.of) this.add(f, this.running(...t.of), false);
    }
    f.list = [...f.list];
    f.bent = call.stages.map((_, s) => s).filter((s) => this.engine.model.stages[c][s].bends);
    return f;
  }
  add(f, { c, s, point, worlds }, limits, wanted = false) {
    for (const world of worlds) {
      // the same point in this world
      const own = world.number ? world.engine.plan(c, s).points.find((p) => rateOf(p) === rateOf(point)) : point,
        [airflow, warm, ends] = own.do,
        list = (group) => group.forEach((n) => f.list.add(world.do(n)));
      list(airflow);
      f.keep.add(world.register(own.air));
      const usable = (limits ? own.limits : []).filter(([, , , , , , , missing]) => !missing);
      if (wanted || usable.some(([quantity]) => OF_HEAT.has(quantity))) {
        list(warm);
        if (own.heat !== null) f.keep.add(world.register(own.heat));
      }
      if (limits) {
        list(ends);
        for (const n of ends) f.keep.add(world.do(n).x);
      }
      for (const x of usable) f.judged.push([world, s, own, x]);
    }
  }
  readings(list) {
    return list.flatMap((i) => [...(i.if || []), ...(i.r ? [i.r] : [])]);
  }
  askedParts() {
    const out = new Set(),
      { engine } = this,
      plans = engine.table.calls.flatMap((_, c) => engine.plansOf(c)),
      heats = new Set(plans.map((plan) => plan.points[plan.asked].heat));
    const of = (c, heat) => {
      for (const plan of engine.plansOf(c)) {
        const point = plan.points[plan.asked],
          steps = point.do[0].map((n) => engine.do(n)).filter((i) => i.o !== "stands" && !heats.has(i.x)),
          warm = heat ? point.do[1].map((n) => engine.do(n)) : [];
        for (const r of this.readings([...steps, ...warm])) for (const p of r.p) out.add(p);
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
    if (!tapsApart(this.engine, this.space, [])([])) return null;
    const groups = new Groups(this.engine, this.space, all, FIRST, true, new Map(), labels);
    const uses = groups.all.map(() => 0),
      touched = (rs) => this.touched(groups, rs);
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
  touched(groups, readings) {
    return new Set(readings.flatMap((r) => groups.of(r)));
  }
  splitLeads(groups) {
    // pairs of groups that hold parts of one motor, asked and not
    const by = new Map();
    groups.all.forEach((g, n) => {
      if (g.lead >= 0) by.set(g.lead, [...(by.get(g.lead) || []), n]);
    });
    return [...by.values()].filter((ns) => ns.length === 2);
  }
  leads([a, b], groups) {
    const [one, other] = [groups.all[a], groups.all[b]],
      may = tapsApart(this.engine, this.space, [...one.parts, ...other.parts]),
      entries = [];
    one.classes.forEach((x, c) =>
      other.classes.forEach((y, d) => {
        if (!may([...x.way, ...y.way])) return;
        entries.push({ key: [c, d], cost: ZERO, ways: [{ m: 0, o: groups.none, picks: [] }] });
      }),
    );
    return { scope: [a, b], entries };
  }
  folded(f, groups, touched, single, space = this.space) {
    const own = new Set([...touched].filter((g) => single.has(g))),
      scope = [...touched].filter((g) => !single.has(g)).sort((a, b) => a - b);
    const states = groups.walk(f.list, f.keep, own);
    for (const state of states) {
      state.judged = this.judged(f, state.get);
      if (f.bent.length) {
        const at = [...space.standing];
        for (const g of touched) groups.put(at, g, groups.all[g].classes[state.classes[g]].way);
        for (const { c, s, worlds } of f.running)
          for (const world of f.bent.includes(s) ? worlds : [])
            for (const one of world.engine.bends(c, s, world.filled(at))) state.judged.push([world, s, one]);
      }
    }
    return { f, scope, states, guarded: this.guarded(f, states) };
  }
  guarded(f, states) {
    // the stages that run for certain as the board stands, and that some setting lets run: no setting may stop them
    const { space, engine } = this,
      { parts } = engine.table,
      { declared } = engine.model,
      told = (p) => space.fixed.has(p) && space.fixed.get(p)[1] === "fact",
      standing = space.baseline.map((at, p) => (told(p) ? space.fixed.get(p)[0] : at)),
      open = standing.flatMap((at, p) => (at === null && !declared[p] ? [p] : [])),
      fixed = new Map(standing.map((at, p) => [p, [at]]).filter(([p]) => !open.includes(p))),
      domains = new Map(open.map((p) => [p, parts[p].p.map((_, i) => i)])),
      board = { ...space, baseline: standing, fixed, searched: open, domains, standing, asSeen: true };
    return new Set(
      f.running.filter(
        (stage) =>
          !states.every((state) => this.stopped(stage, state.get)) &&
          stage.worlds.every((w) => !this.over(w, stage, board).noes.some((x) => x.k === RUNS)),
      ),
    );
  }
  over({ engine, at }, { c, s }, space) {
    // what a stage may be in one world over a space, as boards are read
    const fixed = new Map([...space.fixed, ...[...at].map(([p, x]) => [p, [x]])]),
      standing = space.standing.map((x, p) => at.get(p) ?? x),
      within = narrowed({ ...space, fixed, standing }, leadsWith(engine, c, s));
    return airflowsOver(engine, c, s, within, false, new Map());
  }
  never(stage) {
    // refused wherever it runs, at every position of the board: not to be had, whatever is held and asked
    const { engine, space } = this,
      { table, model } = engine,
      fixed = new Map([...space.fixed].filter(([p]) => model.declared[p])),
      key = `${stage.c} ${stage.s} ${[...fixed].map(([p, [at]]) => `${p}:${at}`)} ${[...this.worlds.unknown]}`;
    if (!engine.nevers.has(key)) {
      const free = table.parts.map((_, p) => p).filter((p) => !fixed.has(p));
      const domains = new Map(free.map((p) => [p, table.parts[p].p.map((_, i) => i)]));
      const standing = space.baseline.map((at, p) => (fixed.has(p) ? fixed.get(p)[0] : at)),
        whole = { ...space, fixed, searched: free, domains, standing };
      const every = stage.worlds.map((w) => this.over(w, stage, whole)),
        noes = every.flatMap((x) => x.noes),
        none = noes.some(refused) && noes.every((x) => refused(x) || x.k === RUNS);
      engine.nevers.set(key, none && !every.some((x) => x.airflows.length));
    }
    return engine.nevers.get(key);
  }
  airs({ worlds, point }, get) {
    // a stage's final airflow in each world
    return worlds.map((w) => finished(get(w.register(point.air))));
  }
  air(stage, get) {
    // the airflow that it has in every world, else null
    const [first, ...rest] = this.airs(stage, get);
    return isFigure(first) && rest.every((x) => isFigure(x) && same(x, first)) ? first : null;
  }
  stopped(stage, get) {
    return this.airs(stage, get).every((x) => isNo(x) && x.k === RUNS);
  }
  judged(f, get) {
    // the limits, world by world
    const out = [];
    for (const [world, s, point, limit] of f.judged) {
      const own = (x) => get(world.register(x)),
        air = finished(own(point.air));
      if (isNo(air)) continue;
      const warm = point.heat === null ? null : own(point.heat);
      const one = world.engine.judge(limit, f.c, s, point, air, warm === null ? null : finished(warm), (x) =>
        x === null ? null : own(x),
      );
      out.push([world, s, one]);
    }
    return out;
  }
  broken(f, { get, judged }) {
    // the limits that are broken in every world in which their stage has an airflow, each where it is broken least
    const by = new Map(),
      out = [];
    for (const [world, s, one] of judged) {
      const key = `${s} ${one.key}`;
      if (!by.has(key)) by.set(key, [s, new Map()]);
      const at = by.get(key)[1],
        old = at.get(world);
      if (!old || (one.ok === false && (old.ok !== false || compare(missOf(one), missOf(old)) > 0))) at.set(world, one);
    }
    for (const [s, at] of by.values()) {
      const stage = f.running[s],
        flows = this.airs(stage, get),
        held = stage.worlds.filter((_, n) => !isNo(flows[n])).map((w) => at.get(w));
      const broken = held.filter((one) => one && one.ok === false).sort((a, b) => compare(missOf(a), missOf(b)));
      if (broken.length && broken.length === held.length) out.push(broken[0]);
    }
    return out;
  }
  allowed(r, groups, space = this.space) {
    const scope = groups.of(r),
      at = [...space.standing],
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
  cost(f, state, guarded, limits) {
    // null where a stage is refused or stopped, or a limit is broken where limits are kept
    let total = ZERO;
    const { get } = state;
    for (const stage of f.running) {
      if (guarded.has(stage) && this.stopped(stage, get)) return null;
      if (this.airs(stage, get).every((x) => isNo(x) && refused(x)) && !this.never(stage)) return null;
    }
    if (limits !== "none") {
      state.broken ??= this.broken(f, state);
      for (const one of state.broken) {
        if (limits === "kept") return null;
        total = plus(total, times(whole(1000), plus(ONE, missOf(one))));
      }
    }
    for (const t of f.targets) {
      const value = this.got(t, get);
      if (value === null) return null;
      total = plus(total, times(t.weight, beyond(value, t.low, t.high)));
    }
    return total;
  }
  got(t, get) {
    // the figure that a target asks for, where every world has the same
    const stage = this.running(t.call, t.stage, t.quantity === "temperature rise"),
      air = this.air(stage, get),
      other = t.of ? this.air(this.running(...t.of), get) : null;
    if (air === null) return null;
    const found = stage.worlds.map((w) => {
      const heat = get(w.register(stage.point.warm));
      return this.in(w.engine, t, air, heat, other);
    });
    return found.every((x) => x !== null && same(x, found[0])) ? found[0] : null;
  }
  in(engine, t, air, heat, other) {
    if (t.quantity === "airflow") return air;
    if (t.quantity === "airflow per ton") {
      const tons = engine.running(t.call, t.stage);
      return tons === null ? null : over(air, tons);
    }
    if (t.quantity === "temperature rise")
      return heat === null || !isFigure(heat) || !air.n ? null : over(heat, times(engine.factor, air));
    return other === null || !isFigure(other) || !other.n ? null : over(times(HUNDRED, air), other);
  }
}
const missOf = (j) => j.miss || ZERO;
const refused = (x) => x.k === NOT_USABLE || x.k === OUTSIDE;
const rateOf = (p) => JSON.stringify(p.rate, (_, x) => (typeof x === "bigint" ? `${x}` : x));
const notJudged = (engine, setting) =>
  engine
    .evaluate(setting)
    .flat()
    .flatMap((s) => openOf(s).map(([limit, why]) => [s, limit, why]));
// What of a stage can't be judged, and why: [the limit's source or nothing, why].
const openOf = (s) => [
  ...(isNo(s.air) && s.air.k >= UNREADABLE ? [["", s.air.w]] : []),
  ...s.judged
    .filter((j) => j.ok === null && !j.depends.length)
    .map((j) => [j.source, j.why || `depends on ${listed(j.facts)}`]),
];
function find(engine, targets, found, held = new Map()) {
  // `held`: part -> position
  const search = new Search(engine, targets, found, held),
    ranked = search.ranked(),
    { space } = search;
  if (ranked.length)
    return {
      ranked,
      space,
      search,
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
