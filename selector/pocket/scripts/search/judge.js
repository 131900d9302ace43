// How a stage stands over all that its open positions and the facts not given may be: its airflow or every one that is
// possible, what decides, and every limit kept, broken, depending or not judged.
const badness = (j) => (j.ok === false ? 2 : j.ok === null ? 1 : 0);
function distance(j) {
  // how far beyond, in the limit's own unit
  if (!j.value) return ZERO;
  if (j.low && compare(j.value, j.low) < 0) return minus(j.low, j.value);
  return j.high && compare(j.value, j.high) > 0 ? minus(j.value, j.high) : ZERO;
}
// a limit that is broken on one side in every case in the way that breaks it least, else in its worst
function certain(broken) {
  const above = new Set(broken.map((j) => Boolean(j.high) && compare(j.value, j.high) > 0)),
    sorted = [...broken].sort(worse);
  if (above.size > 1) return sorted[0];
  return { ...sorted.at(-1), atLeast: compare(distance(sorted[0]), distance(sorted.at(-1))) > 0 };
}
const worse = (a, b) => badness(b) - badness(a) || compare(distance(b), distance(a));
function tooMuchOpen(names) {
  const more = names.length > 4 ? ` and ${names.length - 4} more` : "";
  return `too much is open to check every case: ${names.slice(0, 4).join(", ")}${more}; read, hold or give one of them`;
}
const listed = (names) => names.join(", ").replace(/, (?=[^,]*$)/, " and ");
const outcome = (x) => (isNo(x) ? `no ${x.k} ${(x.e || []).map(([chosen, y]) => `${chosen} ${text(y)}`)}` : text(x));

function judgeStage(engine, c, s, at, boards) {
  const stage = new Judged(engine, c, s, at, boards),
    key = `${c} ${s} ${stage.reads.map((p) => at[p] ?? engine.may.get(p)?.join(" or "))}`,
    kept = engine.judgements;
  if (!kept.has(key)) {
    if (kept.size > 500) kept.clear();
    kept.set(key, stage.judged());
  }
  return kept.get(key);
}

// A stage of which nothing that it reads is tapped: what it may be is left open. Null where it reads nothing.
function untapped(engine, c, s, at) {
  const stage = new Judged(engine, c, s, at, null),
    air = no(UNKNOWN, "nothing is tapped"),
    facts = engine.needs(c, s);
  if (!stage.needed.length) return null;
  return { air, airflows: [], noes: [air], depends: stage.needed, facts, which: new Map(), judged: [] };
}

class Judged {
  constructor(engine, c, s, at, boards) {
    Object.assign(this, { engine, c, s, at, boards });
    engine.readers ??= engine.table.calls.map(() => []);
    // what doesn't depend on where the board stands
    const one = (engine.readers[c][s] ??= this.reader());
    Object.assign(this, one);
    this.sharing = [...new Set(engine.decidingATap(at, this.own))];
    this.needed = [...new Set([...this.own, ...this.sharing])].filter((p) => at[p] === null);
  }
  reader() {
    const { engine, c, s } = this,
      [names, cases] = engine.cases(engine.needs(c, s)),
      read = (e) => readingsOf(e, [...e.steps(e.plan(c, s))]),
      parts = (readings) => [...new Set(readings.flatMap((r) => r.p))],
      readings = distinct(cases.flatMap(([, e]) => read(e))),
      own = parts(read(engine)),
      all = withLeads(engine.table, parts(readings));
    return { names, cases, readings, own, reads: [...all] };
  }
  judged() {
    let cases;
    this.groups = null;
    try {
      const clash = this.engine.clash(this.at, new Set(this.sharing));
      if (this.needed.length) this.groups = new Groups(this.engine, this.space(), this.readings, 1, false, clash);
      this.exact = this.size() <= this.engine.table.most_cases; // else only its airflows are worked out
      cases = this.cases.flatMap(([values, e]) => [...this.every(values, e)]);
    } catch (error) {
      if (!(error instanceof TooMuch)) throw error;
      const names = this.needed.map((p) => this.engine.table.parts[p].n);
      return this.told([], this.needed, this.names, no(UNKNOWN, `depends on ${names.join(", ")}`), []);
    }
    const [depends, facts] = this.deciding(
        cases,
        cases.map((x) => outcome(x.air)),
      ),
      names = [...depends.map((p) => this.engine.table.parts[p].n), ...facts],
      missing = `${names.join(" and ")} ${names.length > 1 ? "are" : "is"} not given`,
      why = depends.length ? `depends on ${names.join(", ")}` : missing;
    const checks = this.exact ? this.checks(cases) : this.unchecked(cases);
    return this.told(cases, depends, facts, names.length ? no(UNKNOWN, why) : cases[0].air, checks);
  }
  told(cases, depends, facts, air, judged) {
    const noes = new Map();
    for (const x of cases) if (isNo(x.air) && !noes.has(x.air.k)) noes.set(x.air.k, x.air);
    return {
      air,
      airflows: rising(cases.flatMap((x) => figuresOf(x.air))),
      noes: [...noes.values()].sort((a, b) => a.k - b.k),
      depends,
      facts,
      which: depends.length === 1 && !facts.length && this.exact ? this.which(cases, depends[0]) : new Map(),
      judged,
      needed: this.needed,
    };
  }
  size() {
    return (this.groups?.all || []).reduce((n, g) => n * g.classes.length, this.cases.length);
  }
  space() {
    const { at, needed, engine } = this,
      fixed = new Map(at.map((x, p) => [p, [x]]).filter(([p]) => !needed.includes(p)));
    const domains = new Map(needed.map((p) => [p, openPositions(engine, p)]));
    return { baseline: at, fixed, searched: needed, domains, standing: at, asSeen: true };
  }
  // -- everything that the stage may be
  *every(values, e) {
    const { at, c, s, groups } = this;
    if (!groups) {
      if (!this.boards.has(e)) this.boards.set(e, new Board(e, at));
      yield this.case(values, this.boards.get(e));
    } else if (this.exact) {
      for (const classes of product(groups.all.map((g) => [...g.classes.keys()]))) {
        const whole = at.slice();
        classes.forEach((k, n) => groups.put(whole, n, groups.all[n].classes[k].way));
        yield this.case([...values, ...classes], new Board(e, whole));
      }
    } else {
      for (const [n, air] of this.possible(e).entries()) yield { key: [...values, n], air, limits: new Map() };
    }
  }
  possible(e) {
    const { c, s, engine, sharing } = this,
      space = this.space(),
      out = new Map();
    for (const way of product(sharing.map((p) => space.domains.get(p)))) {
      const standing = [...space.standing];
      sharing.forEach((p, i) => {
        standing[p] = way[i];
      });
      const searched = this.needed.filter((p) => !sharing.includes(p)),
        fixed = new Map(standing.map((x, p) => [p, [x]]).filter(([p]) => !searched.includes(p)));
      const within = { ...space, baseline: standing, fixed, searched, standing };
      const { airflows, noes } = airflowsOver(e, c, s, within, false, engine.clash(standing));
      for (const x of [...airflows, ...noes]) out.set(isNo(x) && !x.e ? `no ${x.k}` : text(x), x);
    }
    return [...out.values()];
  }
  case(key, board) {
    const { c, s } = this,
      e = board.engine,
      plan = e.plan(c, s),
      air = board.air(plan.points[plan.asked]),
      limits = new Map();
    if (figuresOf(air).length)
      for (const j of [...plan.points.flatMap((p) => board.judged(c, s, p)), ...e.bends(c, s, board.at)])
        if (!limits.has(j.key) || worse(j, limits.get(j.key)) < 0) limits.set(j.key, j);
    return { key, air, limits };
  }
  // -- what decides
  deciding(cases, results) {
    // the parts and facts that change a result by themselves in some case; all, where only together they do
    if (new Set(results).size <= 1) return [[], []];
    if (!this.exact) return [this.needed, this.names];
    const facts = this.names.filter((_, n) => alone(cases, results, n, null)),
      parts = new Set();
    (this.groups?.all || []).forEach((g, n) =>
      g.parts.forEach((p, m) => {
        if (alone(cases, results, this.names.length + n, neighbours(g, m))) parts.add(p);
      }),
    );
    return parts.size || facts.length ? [this.needed.filter((p) => parts.has(p)), facts] : [this.needed, this.names];
  }
  which(cases, part) {
    const out = new Map(),
      n = this.groups.all.findIndex((g) => g.parts.includes(part)),
      g = this.groups.all[n],
      i = g.parts.indexOf(part),
      ways = g.classes.map(() => new Set());
    g.ways.forEach((way, w) => ways[g.of[w]].add(way[i]));
    for (const x of cases)
      if (isFigure(x.air)) {
        const k = text(x.air);
        if (!out.has(k)) out.set(k, new Set());
        for (const position of ways[x.key[this.names.length + n]]) out.get(k).add(position);
      }
    const rising = (positions) => [...positions].sort((a, b) => a - b);
    return new Map([...out].map(([k, positions]) => [k, rising(positions).map((position) => [part, position])]));
  }
  unchecked(cases) {
    // the limits on a stage that has too many cases to hold each against them
    const { engine, c, s } = this,
      plan = engine.plan(c, s),
      why = tooMuchOpen([...this.needed.map((p) => engine.table.parts[p].n), ...this.names]);
    if (!cases.some((x) => figuresOf(x.air).length)) return [];
    return plan.points[plan.asked].limits.map(([quantity, low, high, source, , , , missing]) => ({
      quantity,
      source,
      value: null,
      low: engine.value(low),
      high: engine.value(high),
      ok: null,
      state: "not_judged",
      depends: [],
      facts: [],
      may: false,
      why: missing || why,
    }));
  }
  checks(cases) {
    // every limit over all cases in which the stage has an airflow, in its worst point
    return [...new Set(cases.flatMap((x) => [...x.limits.keys()]))].map((key) => {
      const with_ = cases.filter((x) => x.limits.has(key)),
        all = with_.map((x) => x.limits.get(key)),
        oks = new Set(all.map((j) => j.ok)),
        [ok] = oks,
        worst = [...all].sort(worse)[0];
      if (oks.size === 1) {
        const state = ok === null ? "not_judged" : ok ? "kept" : "broken";
        const one = state === "broken" ? certain(all) : worst;
        return { ...one, state, depends: [], facts: [], may: false };
      }
      const open = all.filter((j) => j.ok === null).sort(worse)[0],
        [depends, facts] = this.deciding(
          with_,
          all.map((j) => j.ok),
        );
      const may = worst.ok === false;
      return { ...worst, ok: null, may, state: "depends", depends, facts, why: open ? open.why : "" };
    });
  }
}
// Pairs of classes that lie one move of a part apart.
function neighbours(g, m) {
  const by = new Map(),
    out = new Set();
  g.ways.forEach((way, w) => {
    const rest = way.filter((_, i) => i !== m).join();
    if (!by.has(rest)) by.set(rest, new Set());
    by.get(rest).add(g.of[w]);
  });
  for (const some of by.values()) for (const a of some) for (const b of some) if (a !== b) out.add(`${a} ${b}`);
  return out;
}
// True where results differ between two cases whose keys differ in place `n` alone, by one of the pairs where given.
function alone(cases, results, n, pairs) {
  const by = new Map();
  cases.forEach((x, i) => {
    const rest = x.key.map((k, place) => (place === n ? "" : isFigure(k) ? text(k) : k)).join("|");
    if (!by.has(rest)) by.set(rest, []);
    by.get(rest).push([x.key[n], results[i]]);
  });
  return [...by.values()].some((some) =>
    some.some(([x, a]) => some.some(([y, b]) => a !== b && (pairs === null || pairs.has(`${x} ${y}`)))),
  );
}
// The positions that a part may have where its mark isn't read: those it was half read as, else all.
const openPositions = (engine, p) => engine.may.get(p) || engine.table.parts[p].p.map((_, i) => i);
