// The space of a search: what is held, set from a fact or searched, and where moves may lead.
const LARGEST = 200000,
  FIRST = 3,
  NEAR = fraction(1, 100);
class TooMuch extends Error {}
class AgainstCut extends TooMuch {} // a cut link held whole

// As tapped, else as delivered; what was half read is nowhere.
const baselineOf = (engine, found) =>
  engine.table.parts.map((_, p) =>
    found && (found[p] !== null || engine.may.has(p)) ? found[p] : engine.model.delivered[p],
  );
// Leads, and the parts that say which of them may share a tap, with the motor whose they are.
function motorsOf(table) {
  if (table.motors) return table.motors;
  const out = new Map();
  table.exclusive.forEach((leads, n) => {
    const mine = new Set(leads);
    for (const [some, when] of table.share)
      if (leads.includes(some[0])) for (const [p] of when) if (p >= 0) mine.add(p);
    const joined = new Set([...mine].map((p) => out.get(p)));
    for (const [p, motor] of out) if (joined.has(motor)) mine.add(p);
    for (const p of mine) out.set(p, n);
  });
  table.motors = out;
  return out;
}
// Parts, and all of a motor of which some are among them.
function withLeads(table, parts) {
  const of = motorsOf(table),
    wanted = new Set([...parts].filter((p) => of.has(p)).map((p) => of.get(p)));
  return new Set([...parts, ...[...of].filter(([, motor]) => wanted.has(motor)).map(([p]) => p)]);
}
// Whether no leads stand on one tap that may not, with these searched parts standing so. The other searched parts may
// stand as that takes; a selector that stays unknown doesn't let leads share.
function tapsApart(engine, space, parts) {
  const { table } = engine,
    unknown = space.unknown || new Set(),
    leads = new Set(table.exclusive.flat()),
    standing = [...space.standing],
    open = new Set(space.searched.filter((p) => !parts.includes(p) && !unknown.has(p)));
  for (const p of space.searched) standing[p] = null;
  return (way) => {
    const at = standing.slice();
    parts.forEach((p, i) => {
      if (leads.has(p) || !unknown.has(p)) at[p] = way[i];
    });
    return ![...engine.clash(at, open)].some((pair) => !space.asSeen || pair.some((p) => parts.includes(p)));
  };
}
// The position of a declaring selector that says what is installed; null where that isn't known or has no position.
function declaredPosition(engine, p) {
  const [fact, positions, own] = engine.model.declared[p];
  if (!positions) return own;
  const word = engine.known.get(fact);
  return word !== undefined && Object.hasOwn(positions, word) ? positions[word] : null;
}
// `reads`: parts that anything reads; `asked`: those that an asked call's airflow reads.
function spaceOf(engine, found, held, reads, asked) {
  const { table, model } = engine,
    there = (p) => held.has(p) && model.declared[p] && (!found || found[p] === null), // held: what is there
    baseline = baselineOf(engine, found).map((at, p) => (there(p) ? held.get(p) : at)),
    fixed = new Map();
  const unsaid = [],
    idle = [],
    wanted = new Set(reads);
  for (const p of engine.clash(baseline.map((at, p) => (held.has(p) ? held.get(p) : at))).keys()) wanted.add(p);
  for (const p of withLeads(table, wanted)) wanted.add(p);
  engine.parts.forEach((part, p) => {
    const declared = model.declared[p],
      stands = baseline[p],
      cut = (part.final || []).includes(stands);
    if (held.has(p)) {
      if (cut && held.get(p) !== stands) throw new AgainstCut();
      fixed.set(p, [held.get(p), "held"]);
    } else if (declared) {
      const at = declaredPosition(engine, p);
      fixed.set(p, at !== null ? [at, "fact"] : [stands, "standing"]);
      if (at === null) unsaid.push(part.n);
    } else if ((part.unused && stands !== null) || cut) fixed.set(p, [stands, "standing"]);
    else if (!wanted.has(p)) {
      fixed.set(p, [stands, "standing"]);
      idle.push(p);
    }
  });
  const searched = table.parts.map((_, p) => p).filter((p) => !fixed.has(p));
  const nowhere = (p) => baseline[p] === null && !(found && engine.may.has(p)),
    free = [...searched, ...idle], // nothing reads these, and they may stand otherwise all the same
    unknown = new Set(free.filter((p) => nowhere(p) && !asked.has(p)));
  const domains = new Map(free.map((p) => [p, domainOf(engine.parts[p], baseline[p], unknown.has(p))]));
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
  const cut = (i) => !part.may_cut && (part.final || []).includes(i);
  const never = (i) => (part.idle || []).includes(i) || cut(i) || part.p[i] === "parked";
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
