// Every limit on a stage over all that its open positions may be: kept, broken, depends (on which parts) or not judged.
const MOST_BOARDS = 300;
const badness = (j) => (j.ok === false ? 2 : j.ok === null ? 1 : 0);
function distance(j) {
  // how far beyond, in the limit's own unit
  if (!j.value) return ZERO;
  if (j.low && compare(j.value, j.low) < 0) return minus(j.low, j.value);
  return j.high && compare(j.value, j.high) > 0 ? minus(j.value, j.high) : ZERO;
}
const worse = (a, b) => badness(b) - badness(a) || compare(distance(b), distance(a));
// The ways that open parts may stand; no two leads of a motor on one tap.
function* openWays(engine, parts, at) {
  const { table } = engine,
    leads = table.exclusive.map((all) => {
      const parked = table.parts[all[0]].p.length - 1;
      const taken = all.filter((p) => at[p] !== null && at[p] !== parked).map((p) => at[p]);
      return [all.filter((p) => parts.includes(p)), parked, taken];
    });
  for (const way of product(parts.map((p) => table.parts[p].p.map((_, i) => i)))) {
    const whole = at.slice();
    parts.forEach((p, i) => {
      whole[p] = way[i];
    });
    const fits = ([own, parked, taken]) => {
      const taps = own.map((p) => whole[p]).filter((tap) => tap !== parked);
      return new Set(taps).size === taps.length && !taps.some((tap) => taken.includes(tap));
    };
    if (leads.every(fits)) yield [way, whole];
  }
}
// Null where nothing that the stage's limits rest on is open, or too much is.
function limitsOver(engine, c, s, at) {
  const plan = engine.stages[c][s],
    readings = readingsOf(engine, [...engine.steps(plan)]),
    parts = [...new Set(readings.flatMap((r) => r.p))].filter((p) => at[p] === null).sort((a, b) => a - b);
  if (!parts.length || parts.reduce((n, p) => n * engine.table.parts[p].p.length, 1) > MOST_BOARDS) return null;
  const limits = new Map();
  for (const [way, whole] of openWays(engine, parts, at)) {
    const board = new Board(engine, whole);
    if (!figuresOf(board.air(plan.points[plan.asked])).length) continue;
    const own = new Map();
    for (const j of [...plan.points.flatMap((p) => board.judged(c, s, p)), ...engine.bends(c, s, whole)]) {
      const key = [j.quantity, j.source, j.charted].join("|");
      if (!own.has(key) || worse(j, own.get(key)) < 0) own.set(key, j);
    }
    for (const [key, j] of own) limits.set(key, [...(limits.get(key) || []), [way, j]]);
  }
  return [...limits.values()].map((found) => {
    const oks = new Set(found.map(([, j]) => j.ok)),
      [ok] = oks,
      [worst] = found.map(([, j]) => j).sort(worse);
    if (oks.size === 1) return { ...worst, state: ok === null ? "not_judged" : ok ? "kept" : "broken", depends: [] };
    const alone = parts.filter((_, i) => {
      const rest = new Map();
      for (const [way, j] of found) {
        const key = way.filter((_, n) => n !== i).join();
        if (rest.has(key) && rest.get(key) !== j.ok) return true;
        rest.set(key, j.ok);
      }
      return false;
    });
    return { ...worst, state: "depends", depends: alone.length ? alone : parts };
  });
}
