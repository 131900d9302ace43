// The airflows a stage may have over the searched parts of a space, rising, and the reasons why it may have none, one
// of each kind. `shared`: the leads on one tap, those of the board where it isn't given.
function airflowsOver(engine, c, s, space, proposing, shared = null) {
  const plan = engine.plan(c, s),
    point = plan.points[plan.asked],
    steps = point.do[0].map((n) => engine.do(n)),
    clash = shared || (proposing ? new Map() : engine.clash(space.baseline));
  const groups = new Groups(engine, space, readingsOf(engine, point.do[0]), 1, proposing, clash);
  const airflows = new Map(),
    noes = new Map();
  for (const state of groups.walk(steps, [point.air], new Set(groups.all.keys()))) {
    const x = finished(state.get(point.air));
    if (!isNo(x)) airflows.set(text(x), x);
    else if (!noes.has(x.e ? text(x) : x.k)) noes.set(x.e ? text(x) : x.k, x);
  }
  return { airflows: [...airflows.values()].sort(compare), noes: [...noes.values()] };
}
const readingsOf = (engine, list) =>
  distinct(list.flatMap((n) => [...(engine.do(n).if || []), ...(engine.do(n).r ? [engine.do(n).r] : [])]));
function readBy(engine, c, s) {
  const plan = engine.plan(c, s);
  return new Set(readingsOf(engine, plan.points[plan.asked].do[0]).flatMap((r) => r.p));
}
// The space without the parts that nothing in `read` looks at: these stay as they are.
function narrowed(space, read) {
  const fixed = new Map(space.fixed);
  for (const p of space.searched) if (!read.has(p)) fixed.set(p, [space.baseline[p], "standing"]);
  const standing = space.baseline.map((at, p) => (fixed.has(p) ? fixed.get(p)[0] : at));
  return { ...space, fixed, standing, searched: space.searched.filter((p) => read.has(p)) };
}
// The parts that a stage's airflow reads, and those of one motor with them.
function leadsWith(engine, c, s) {
  return withLeads(engine.table, readBy(engine, c, s));
}
// What a stage may be in settings which may be proposed, whatever limits say of them.
const offeredOver = (engine, space, c, s) => airflowsOver(engine, c, s, narrowed(space, leadsWith(engine, c, s)), true);
// The airflows of these, rising.
const reachable = (engine, space, c, s) => offeredOver(engine, space, c, s).airflows;
const named = (r) => (r.at ? `${r.g} ${r.p} ${r.w}` : `${r.g} ${r.p}`);
const distinct = (readings) => [...new Map(readings.map((r) => [named(r), r])).values()];

// A ramp or delay whose selector can't be read: the distinct things it may be; null where it can.
function possibleWords(engine, told, at) {
  if (told === null || told.g === undefined || !told.p.some((p) => at[p] === null)) return null;
  const open = told.p.filter((p) => at[p] === null),
    all = at.slice(),
    out = new Map();
  let left = 70000;
  for (const way of product(open.map((p) => openPositions(engine, p)))) {
    if (!left--) break;
    open.forEach((p, i) => {
      all[p] = way[i];
    });
    const { value } = engine.leaf(engine.node(told, all));
    for (const x of value !== null && value.e ? figuresOf(value) : [value]) out.set(JSON.stringify(x), x);
  }
  return [...out.values()];
}
