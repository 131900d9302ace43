// The nearest settings: calls carried out over classes of selectors, then selectors eliminated one after the other.
const LARGEST = 200000,
  FIRST = 3,
  NEAR = fraction(1, 100);
const OF_HEAT = new Set(["temperature rise", "outlet limit"]);
class TooMuch extends Error {}
class AgainstCut extends TooMuch {} // a cut link held whole

// `reads`: parts that anything reads; `asked`: those that an asked call's airflow reads.
function spaceOf(engine, found, held, reads, asked) {
  const { table, model, known } = engine,
    fixed = new Map();
  const baseline = table.parts.map((_, p) => (found && found[p] !== null ? found[p] : model.delivered[p]));
  const unsaid = [],
    wanted = new Set(reads);
  for (const leads of table.exclusive) if (leads.some((p) => reads.has(p))) for (const p of leads) wanted.add(p);
  for (const p of engine.clash(baseline.map((at, p) => (held.has(p) ? held.get(p) : at))).keys()) wanted.add(p);
  engine.parts.forEach((part, p) => {
    const declared = model.declared[p],
      stands = baseline[p],
      cut = (part.final || []).includes(stands);
    if (held.has(p)) {
      if (cut && held.get(p) !== stands) throw new AgainstCut();
      fixed.set(p, [held.get(p), "held"]);
    } else if (declared) {
      const [fact, positions, own] = declared;
      const at = positions
        ? known.has(fact) && Object.hasOwn(positions, known.get(fact))
          ? positions[known.get(fact)]
          : null
        : own;
      fixed.set(p, at !== null ? [at, "fact"] : [stands, "standing"]);
      if (at === null) unsaid.push(part.n);
    } else if (!wanted.has(p) || (part.unused && stands !== null) || cut) fixed.set(p, [stands, "standing"]);
  });
  const searched = table.parts.map((_, p) => p).filter((p) => !fixed.has(p));
  const unknown = new Set(searched.filter((p) => baseline[p] === null && !asked.has(p)));
  const domains = new Map(searched.map((p) => [p, domainOf(engine.parts[p], baseline[p], unknown.has(p))]));
  return {
    baseline,
    fixed,
    searched,
    domains,
    unsaid,
    asked,
    unknown,
    standing: baseline.map((at, p) => (fixed.has(p) ? fixed.get(p)[0] : at)),
  };
}
// Where a move may lead, and where the part stands; of positions alike in every chart one.
function domainOf(part, stands, unknown) {
  const all = part.p.map((_, i) => i);
  if (unknown) return all;
  const leaving = (i) => (part.leave ?? i) !== i;
  const never = (i) => (part.idle || []).includes(i) || (part.final || []).includes(i) || part.p[i] === "parked";
  const out = all.filter((i) => i === stands || !(never(i) || leaving(i)));
  if (stands === -1) out.push(-1);
  if (!part.alike) return out;
  const kept = new Map();
  for (const i of out) {
    const meaning = i < 0 ? -1 : part.alike[i];
    if (!kept.has(meaning) || i === stands) kept.set(meaning, i);
  }
  return out.filter((i) => [...kept.values()].includes(i));
}
function* product(lists) {
  if (!lists.length) {
    yield [];
    return;
  }
  const at = lists.map(() => 0);
  if (lists.some((l) => !l.length)) return;
  for (;;) {
    yield at.map((i, n) => lists[n][i]);
    let n = lists.length - 1;
    while (n >= 0 && ++at[n] === lists[n].length) at[n--] = 0;
    if (n < 0) return;
  }
}
const before = (a, b) => a.m - b.m || (a.o < b.o ? -1 : a.o > b.o ? 1 : 0);
function kept(list, one, first) {
  // one more way in a short list by moves and order
  if (list.length === first && before(list[first - 1], one) <= 0) return;
  let n = list.length;
  while (n && before(one, list[n - 1]) < 0) n--;
  list.splice(n, 0, one);
  if (list.length > first) list.pop();
}

// Selectors that the same readings look at, with the ways they can stand in classes that no reading tells apart.
class Groups {
  constructor(engine, space, readings, first, proposing, clash = new Map(), apart = []) {
    // `apart`: readings that no call looks at
    Object.assign(this, { engine, space, first, proposing, clash, apart: new Set(apart) });
    const { table } = engine,
      by = new Map(),
      seen = new Map(space.searched.map((p) => [p, []]));
    readings.forEach((r, n) => {
      for (const p of r.p) if (seen.has(p)) seen.get(p).push(n);
    });
    for (const p of space.searched) {
      const lead = table.exclusive.findIndex((l) => l.includes(p)),
        asked = Boolean(space.asked && space.asked.has(p)),
        key = lead >= 0 ? `leads ${lead} ${asked}` : `${asked} ${seen.get(p).join()}`;
      if (!by.has(key)) by.set(key, { parts: [], readings: new Set(), lead, asked });
      by.get(key).parts.push(p);
      for (const n of seen.get(p)) by.get(key).readings.add(readings[n]);
    }
    this.all = [...by.values()];
    this.home = new Map(this.all.flatMap((g, n) => g.parts.map((p) => [p, n])));
    this.cache = new Map();
    let weight = 1n;
    const weights = new Map();
    for (const p of [...space.searched].reverse()) {
      weights.set(p, weight);
      weight *= BigInt(table.parts[p].p.length + 1);
    }
    const fits = weight < 2n ** 52n;
    this.none = fits ? 0 : 0n;
    this.weights = new Map([...weights].map(([p, w]) => [p, fits ? Number(w) : w]));
    for (const g of this.all) this.ways(g);
    for (const g of this.all) this.classify(g);
  }
  ways(g) {
    const { space } = this,
      size = g.parts.reduce((n, p) => n * space.domains.get(p).length, 1);
    if (size > LARGEST) throw new TooMuch();
    g.ways = [...product(g.parts.map((p) => space.domains.get(p)))];
    if (g.lead < 0) return;
    const leads = this.engine.table.exclusive[g.lead],
      parked = this.engine.table.parts[leads[0]].p.length - 1;
    const taken = new Set(
      leads
        .filter((p) => space.fixed.has(p))
        .map((p) => space.fixed.get(p)[0])
        .filter((at) => at !== null && at !== parked),
    );
    g.ways = g.ways.filter((way) => {
      const taps = way.filter((t) => t !== parked);
      return new Set(taps).size === taps.length && !taps.some((t) => taken.has(t));
    });
  }
  look(r, at) {
    // the leaf's number; -1 for a row that is never proposed, -2 for a lead on one tap with another, -3 for a refused
    // row that the board stands in already
    if (this.engine.clashed(r, this.clash)) return -2;
    const n = this.engine.node(r, at);
    const { copies } = this.engine.leaf(n);
    const { baseline } = this.space;
    if (!this.proposing) return n;
    if (copies && copies.some((p) => this.home.has(p)) && copies.some((p) => at[p] !== baseline[p])) return -1;
    return this.apart.has(r) && this.stays(n) && r.p.every((p) => at[p] === baseline[p]) ? -3 : n;
  }
  stays(n) {
    const { value } = this.engine.leaf(n);
    return value !== null && isNo(value) && value.k === NOT_USABLE;
  }
  of(r) {
    const key = `${r.g} ${r.p}`;
    if (!this.cache.has(key))
      this.cache.set(
        key,
        [...new Set(r.p.filter((p) => this.home.has(p)).map((p) => this.home.get(p)))].sort((a, b) => a - b),
      );
    return this.cache.get(key);
  }
  put(at, n, way) {
    this.all[n].parts.forEach((p, i) => {
      at[p] = way[i];
    });
  }
  classify(g) {
    const me = this.all.indexOf(g),
      at = [...this.space.standing];
    g.of = g.ways.map((_, w) => (g.lead < 0 ? 0 : w)); // each tap is a class of its own
    for (const r of g.readings) {
      if (r.p.some((p) => !this.home.has(p) && at[p] === null)) continue;
      const others = this.of(r).filter((n) => n !== me);
      if (others.reduce((n, o) => n * this.all[o].ways.length, g.ways.length) > LARGEST) throw new TooMuch();
      for (const combination of product(others.map((o) => this.all[o].ways))) {
        others.forEach((o, n) => this.put(at, o, combination[n]));
        const ids = new Map();
        g.ways.forEach((way, w) => {
          this.put(at, me, way);
          const key = g.of[w] * 4194304 + this.look(r, at) + 3;
          if (!ids.has(key)) ids.set(key, ids.size);
          g.of[w] = ids.get(key);
        });
      }
    }
    const ids = new Map();
    g.classes = [];
    g.ways.forEach((way, w) => {
      if (!ids.has(g.of[w])) {
        ids.set(g.of[w], g.classes.length);
        g.classes.push({ way, best: [] });
      }
      let m = 0,
        o = this.none;
      g.parts.forEach((p, i) => {
        const was = this.space.baseline[p];
        const place = way[i] < 0 ? this.engine.table.parts[p].p.length : way[i];
        if (was !== null && was !== way[i] && !(this.space.unknown && this.space.unknown.has(p))) m++;
        o += this.weights.get(p) * (typeof o === "bigint" ? BigInt(place) : place);
      });
      kept(g.classes[ids.get(g.of[w])].best, { m, o, picks: [[g.parts, way]] }, this.first);
    });
  }
  // Steps carried out over all classes at once. Groups in `own` are forgotten after their last use, and what can't be
  // told apart is merged.
  walk(list, keep, own) {
    const { engine } = this,
      lastUse = new Map(),
      lastRegister = new Map(),
      local = new Map();
    const steps = list.map((n) => engine.do(n)),
      used = steps.map((i) => [...(i.if || []), ...(i.r ? [i.r] : [])]);
    const slot = (x) => {
      if (!local.has(x)) local.set(x, local.size);
      return local.get(x);
    };
    steps.forEach((i, n) => {
      for (const r of used[n]) for (const g of this.of(r)) lastUse.set(g, n);
      for (const x of [i.x, i.y]) if (x !== undefined) lastRegister.set(slot(x), n);
    });
    for (const x of keep) lastRegister.set(slot(x), Infinity);
    const at = [...this.space.standing],
      bound = [];
    let states = [{ classes: [], values: [], ways: [{ m: 0, o: this.none, picks: [] }] }];
    const read = (r) => {
      if (engine.unread(r, at)) return no(UNKNOWN, `a position that \`${r.n}\` needs isn't known`);
      const n = this.look(r, at);
      return n === -2
        ? engine.clashed(r, this.clash)
        : n < 0
          ? no(NOT_USABLE, `\`${r.n}\` has this row only behaving as another`)
          : engine.leaf(n).value;
    };
    steps.forEach((i, n) => {
      const mine = [...new Set(used[n].flatMap((r) => this.of(r)))];
      for (const g of mine)
        if (!bound.includes(g)) {
          bound.push(g);
          states = this.branch(states, g, own.has(g));
        }
      const done = bound.filter((g) => lastUse.get(g) === n && own.has(g)),
        x = slot(i.x),
        y = i.y === undefined ? -1 : slot(i.y);
      const merged = new Map();
      for (const state of states) {
        for (const g of mine) this.put(at, g, this.all[g].classes[state.classes[g]].way);
        const value = carryOut(i, state.values[x] ?? null, y < 0 ? null : (state.values[y] ?? null), read);
        if (!done.length) {
          if (!state.alone) {
            state.values = state.values.slice();
            state.alone = true;
          }
          state.values[x] = value;
          continue;
        }
        const classes = state.classes.slice(),
          values = state.values.slice();
        values[x] = value;
        for (const g of done) classes[g] = undefined;
        for (const [s, last] of lastRegister) if (last <= n) values[s] = undefined;
        const key = `${classes}|${values.map(text)}`,
          old = merged.get(key);
        if (old) {
          for (const way of state.ways) kept(old.ways, way, this.first);
        } else merged.set(key, { classes, values, ways: [...state.ways], alone: true });
      }
      if (done.length) states = [...merged.values()];
    });
    return states.map((s) => ({ ...s, get: (x) => (local.has(x) ? (s.values[local.get(x)] ?? null) : null) }));
  }
  branch(states, g, own) {
    const { classes } = this.all[g],
      out = [];
    if (states.length * classes.length > LARGEST) throw new TooMuch();
    for (const state of states) {
      classes.forEach((one, c) => {
        const at = state.classes.slice();
        at[g] = c;
        let { ways } = state;
        if (own) {
          ways = [];
          for (const a of state.ways)
            for (const b of one.best)
              kept(ways, { m: a.m + b.m, o: a.o + b.o, picks: [...a.picks, ...b.picks] }, this.first);
        }
        out.push({ classes: at, values: state.values, ways, alone: false });
      });
    }
    return out;
  }
}

// The airflows a stage may have over the searched parts of a space, rising, and the reasons why it may have none, one
// of each kind.
function airflowsOver(engine, c, s, space, proposing, shared = null) {
  const plan = engine.stages[c][s],
    point = plan.points[plan.asked],
    list = point.do[0],
    clash = shared || (proposing ? new Map() : engine.clash(space.baseline));
  const groups = new Groups(engine, space, readingsOf(engine, list), 1, proposing, clash);
  const airflows = new Map(),
    noes = new Map();
  for (const state of groups.walk(list, [point.air], new Set(groups.all.keys()))) {
    const x = finished(state.get(point.air));
    if (!isNo(x)) airflows.set(text(x), x);
    else if (!noes.has(x.e ? text(x) : x.k)) noes.set(x.e ? text(x) : x.k, x);
  }
  return { airflows: [...airflows.values()].sort(compare), noes: [...noes.values()] };
}
const readingsOf = (engine, list) =>
  distinct(list.flatMap((n) => [...(engine.do(n).if || []), ...(engine.do(n).r ? [engine.do(n).r] : [])]));
function readBy(engine, c, s) {
  const plan = engine.stages[c][s];
  return new Set(readingsOf(engine, plan.points[plan.asked].do[0]).flatMap((r) => r.p));
}
// The same where positions can't be read; `needed` are the parts to blame, `which` the positions for each airflow
// where a single part decides.
function possible(engine, c, s, at) {
  const needed = [...readBy(engine, c, s)].filter((p) => at[p] === null).sort((a, b) => a - b);
  const opened = ({ airflows, noes }) => ({
    airflows: rising([...airflows, ...noes.flatMap(figuresOf)]),
    noes: noes.filter((x) => !x.e),
  });
  if (!needed.length) {
    const { air } = engine.evaluate(at)[c][s];
    return air.e ? { ...opened({ airflows: [], noes: [air] }), needed, which: new Map() } : null;
  }
  const fixed = new Map(at.map((x, p) => [p, [x]]).filter(([p]) => !needed.includes(p)));
  const domains = new Map(needed.map((p) => [p, engine.table.parts[p].p.map((_, i) => i)])),
    which = new Map();
  if (needed.length === 1)
    for (const i of domains.get(needed[0])) {
      const x = engine.evaluate(at.map((was, p) => (p === needed[0] ? i : was)))[c][s].air;
      if (isFigure(x)) which.set(text(x), [...(which.get(text(x)) || []), [needed[0], i]]);
    }
  return {
    ...opened(airflowsOver(engine, c, s, { baseline: at, fixed, searched: needed, domains, standing: at }, false)),
    needed,
    which,
  };
}
// The space without the parts that nothing in `read` looks at: these stay as they are.
function narrowed(space, read) {
  const fixed = new Map(space.fixed);
  for (const p of space.searched) if (!read.has(p)) fixed.set(p, [space.baseline[p], "standing"]);
  const standing = space.baseline.map((at, p) => (fixed.has(p) ? fixed.get(p)[0] : at));
  return { ...space, fixed, standing, searched: space.searched.filter((p) => read.has(p)) };
}
// What a stage may be in settings which may be proposed, whatever limits say of them.
function offeredOver(engine, space, c, s) {
  const read = readBy(engine, c, s);
  for (const leads of engine.table.exclusive) if (leads.some((p) => read.has(p))) for (const p of leads) read.add(p);
  return airflowsOver(engine, c, s, narrowed(space, read), true);
}
// The airflows of these, rising.
const reachable = (engine, space, c, s) => offeredOver(engine, space, c, s).airflows;
const distinct = (readings) => [...new Map(readings.map((r) => [`${r.g} ${r.p}`, r])).values()];

// A ramp or delay whose selector can't be read: the distinct things it may be; null where it can.
function possibleWords(engine, told, at) {
  if (told === null || told.g === undefined || !told.p.some((p) => at[p] === null)) return null;
  const open = told.p.filter((p) => at[p] === null),
    all = at.slice(),
    out = new Map();
  let left = 70000;
  for (const way of product(open.map((p) => engine.table.parts[p].p.map((_, i) => i)))) {
    if (!left--) break;
    open.forEach((p, i) => {
      all[p] = way[i];
    });
    const { value } = engine.leaf(engine.node(told, all));
    for (const x of value !== null && value.e ? figuresOf(value) : [value]) out.set(JSON.stringify(x), x);
  }
  return [...out.values()];
}

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
    return tables.some((t) => !t.entries.length) ? [] : this.best(tables, groups, single, first, near);
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
  best(tables, groups, single, first, near) {
    let scale = 1n,
      most = 0n;
    const denominators = new Set(tables.flatMap((t) => t.entries.map((e) => e.cost.d)));
    for (const d of denominators) {
      const b = BigInt(d);
      scale = (scale / gcd(scale, b)) * b;
    }
    const scaled = (x) => (BigInt(x.n) * scale) / BigInt(x.d);
    for (const t of tables)
      most += t.entries.reduce((n, e) => {
        const c = e.cost.n === 0 ? 0n : scaled(e.cost);
        return c > n ? c : n;
      }, 0n);
    const short = most < 2n ** 52n,
      cost = (x) => (short ? Number(scaled(x)) : scaled(x)),
      zero = short ? 0 : 0n;
    const sizes = groups.all.map((g) => g.classes.length);
    const place = (scope, key) => scope.reduce((n, g, i) => n * sizes[g] + key[i], 0);
    // costs nothing, moves nothing: shared, and joined to nothing
    const free = [[{ c: zero, o: groups.none, picks: [] }]];
    const costless = (e) => e.cost.n === 0 && e.ways.length === 1 && !e.ways[0].m && !e.ways[0].picks.length;
    const says = tables.filter(
      ({ scope, entries }) => entries.length < scope.reduce((n, g) => n * sizes[g], 1) || !entries.every(costless),
    );
    let left = says.map(({ scope, entries, asked }) => {
      const cells = [];
      for (const e of entries) {
        if (costless(e)) {
          cells[place(scope, e.key)] = free;
          continue;
        }
        const cell = (cells[place(scope, e.key)] ??= []),
          c = cost(e.cost);
        for (const w of e.ways) (cell[w.m] ??= []).push({ c, o: w.o, picks: w.picks });
      }
      cells.forEach((cell, n) => {
        cells[n] = cell === free ? free : asked ? trimmed(cell, first) : only(cell);
      });
      return { scope, cells };
    });
    for (const [g, one] of groups.all.entries())
      if (!single.has(g)) {
        const cells = one.classes.map(({ best }) => {
          const cell = [];
          for (const w of best) (cell[w.m] ??= []).push({ c: zero, o: w.o, picks: w.picks });
          return one.asked ? trimmed(cell, first) : only(cell);
        });
        left.push({ scope: [g], cells, own: g });
      }
    const open = new Set([...groups.all.keys()].filter((g) => !single.has(g)));
    while (open.size) {
      const around = (g) =>
        [...new Set(left.filter((t) => t.scope.includes(g)).flatMap((t) => t.scope))].sort((a, b) => a - b);
      const size = (g) => around(g).reduce((n, v) => n * sizes[v], 1);
      const plain = [...open].filter((g) => !groups.all[g].asked); // these first: of their ways only the best stays
      const g = (plain.length ? plain : [...open]).reduce((a, b) => (size(b) < size(a) ? b : a));
      if (size(g) > LARGEST) throw new TooMuch();
      const mine = left.filter((t) => t.scope.includes(g)).sort((a, b) => a.cells.length - b.cells.length),
        outer = around(g).filter((v) => v !== g),
        cells = [];
      const chosen = new Map();
      for (const key of product(outer.map((v) => [...Array(sizes[v]).keys()]))) {
        outer.forEach((v, n) => chosen.set(v, key[n]));
        const all = [];
        for (let c = 0; c < sizes[g]; c++) {
          chosen.set(g, c);
          let sum = null;
          for (const t of mine) {
            const cell = t.cells[t.scope.reduce((n, v) => n * sizes[v] + chosen.get(v), 0)];
            if (!cell) {
              sum = null;
              break;
            }
            sum = sum === null || sum === free ? cell : cell === free ? sum : joined(sum, cell, first);
          }
          if (sum) sum.forEach((list, m) => (all[m] ??= []).push(...list));
        }
        if (all.length) cells[place(outer, key)] = plain.length ? only(all) : trimmed(all, first);
      }
      open.delete(g);
      left = [...left.filter((t) => !mine.includes(t)), { scope: outer, cells }];
    }
    const root = left.reduce((sum, t) => (sum && t.cells[0] ? joined(sum, t.cells[0], first) : null), free);
    if (!root) return [];
    const room = (scale * BigInt(near.n)) / BigInt(near.d);
    return grouped(root, first, short ? Number(room < 2n ** 52n ? room : 2n ** 52n) : room).map((one) => {
      const setting = [...this.space.standing];
      unpacked(one, setting);
      for (const p of this.space.unknown) setting[p] = null;
      const moved = setting.flatMap((at, p) =>
        this.space.baseline[p] !== null && at !== null && this.space.baseline[p] !== at ? [p] : [],
      );
      return { setting, deviation: fraction(BigInt(one.c), scale), moved };
    });
  }
}
function trimmed(cell, first) {
  // by moves: the first few by cost and order
  cell.forEach((list, m) => {
    if (list.length < 2) return;
    list.sort((a, b) => (a.c < b.c ? -1 : a.c > b.c ? 1 : a.o < b.o ? -1 : a.o > b.o ? 1 : 0));
    if (list.length > first) cell[m] = list.slice(0, first);
  });
  return cell;
}
function only(cell) {
  // the best way by cost, moves, order, alone
  let best = null;
  const less = (x, m, y) => x.c < y.x.c || (x.c === y.x.c && (m < y.m || (m === y.m && x.o < y.x.o)));
  cell.forEach((list, m) => {
    for (const x of list) if (!best || less(x, m, best)) best = { m, x };
  });
  const out = [];
  out[best.m] = [best.x];
  return out;
}
function joined(one, other, first) {
  const out = [];
  one.forEach((a, m) =>
    other.forEach((b, n) => {
      const list = (out[m + n] ??= []);
      for (const x of a) for (const y of b) list.push({ c: x.c + y.c, o: x.o + y.o, left: x, right: y });
    }),
  );
  return trimmed(out, first);
}
function grouped(root, first, room) {
  // groups of nearly equal cost; inside one fewest moves, then cost, then order
  const rest = [...root.entries()].flatMap(([m, list]) => (list || []).map((x) => ({ ...x, m }))),
    out = [];
  while (rest.length && out.length < first) {
    const least = rest.reduce((n, x) => (x.c < n ? x.c : n), rest[0].c);
    const group = rest
      .filter((x) => x.c <= least + room)
      .sort((a, b) => a.m - b.m || (a.c < b.c ? -1 : a.c > b.c ? 1 : a.o < b.o ? -1 : a.o > b.o ? 1 : 0));
    out.push(...group.slice(0, first - out.length));
    for (const x of group) rest.splice(rest.indexOf(x), 1);
  }
  return out;
}
function unpacked(one, setting) {
  if (one.picks)
    for (const [parts, way] of one.picks)
      parts.forEach((p, i) => {
        setting[p] = way[i];
      });
  else {
    unpacked(one.left, setting);
    unpacked(one.right, setting);
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
          if (!airflows.length && noes.length) return [{ ...s, air: noes.reduce((a, b) => (b.k < a.k ? b : a)) }];
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
