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
      for (const f of figuresOf(x)) which.set(text(f), [...(which.get(text(f)) || []), [needed[0], i]]);
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
