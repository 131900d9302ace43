// What else may stand in the selectors that no asked call reads: every setting that counts and is the same answer, as
// choices that don't depend on one another.
const MOST_CHOICES = 4096; // with more combinations of selectors that hang together they aren't listed

// `setting`: one that a search found. Empty where there is too much to tell.
function otherwise(search, setting) {
  const { space, factors, carried, engine } = search,
    free = space.searched.filter((p) => !space.asked.has(p)),
    fixed = new Map(setting.map((at, p) => [p, [at, "stays"]]).filter(([p]) => !free.includes(p))),
    standing = space.baseline.map((at, p) => (fixed.has(p) ? setting[p] : at)),
    within = { ...space, fixed, searched: free, standing, movable: new Set(space.searched) };
  const read = factors.map((f) => search.readings(f.list)),
    { labels } = engine,
    allowed = [];
  try {
    const groups = new Groups(engine, within, distinct([...read.flat(), ...labels]), 1, true, new Map(), labels);
    factors.forEach((f, n) => {
      const { scope, states } = search.folded(f, groups, search.touched(groups, read[n]), new Set(), within),
        counts = (state) => search.cost(f, state, carried.folds[n].guarded, "kept") !== null;
      allowed.push(waysOf(groups, scope, states.filter(counts).map((state) => scope.map((g) => state.classes[g]))));
    });
    for (const r of labels) {
      const { scope, entries } = search.allowed(r, groups, within);
      allowed.push(waysOf(groups, scope, entries.map(({ key }) => key)));
    }
    for (const g of groups.all) allowed.push({ parts: g.parts, ways: new Set(g.ways.map(String)) });
  } catch (error) {
    if (!(error instanceof TooMuch)) throw error;
    return [];
  }
  const domains = new Map([...space.domains].filter(([p]) => !space.asked.has(p)));
  return choices(
    domains,
    allowed.filter((a) => a.parts.length),
    setting,
  );
}
function waysOf(groups, scope, keys) {
  // the positions of several groups' parts whose classes are among these
  const own = scope.map((g) => groups.all[g]),
    kept = new Set(keys.map(String)),
    ways = new Set();
  if (own.reduce((n, g) => n * g.ways.length, 1) > LARGEST) throw new TooMuch();
  for (const at of product(own.map((g) => [...g.ways.keys()])))
    if (kept.has(String(own.map((g, n) => g.of[at[n]])))) ways.add(String(own.flatMap((g, n) => g.ways[at[n]])));
  return { parts: own.flatMap((g) => g.parts), ways };
}
function choices(domains, allowed, setting) {
  const count = (parts) => parts.reduce((n, p) => n * domains.get(p).length, 1),
    left = allowed.filter((a) => a.ways.size < count(a.parts)),
    todo = new Set(domains.keys()),
    out = [];
  while (todo.size) {
    const group = new Set([Math.min(...todo)]),
      near = () => left.filter((a) => a.parts.some((p) => group.has(p)));
    for (let size = 0; size < group.size; ) {
      size = group.size;
      for (const a of near()) for (const p of a.parts) group.add(p);
    }
    for (const p of group) todo.delete(p);
    const parts = [...group].sort((a, b) => a - b),
      mine = near().map((a) => [a.parts.map((p) => parts.indexOf(p)), a.ways]);
    if (count(parts) > MOST_CHOICES) out.push({ parts, choices: [] });
    else {
      const fits = (way) => mine.every(([at, ways]) => ways.has(String(at.map((i) => way[i]))));
      out.push(...apart(parts, [...product(parts.map((p) => domains.get(p)))].filter(fits)));
    }
  }
  const stays = (one) => one.choices.length === 1 && one.parts.every((p, n) => one.choices[0][n] === setting[p]);
  return out.filter((one) => !stays(one)).sort((a, b) => a.parts[0] - b.parts[0]);
}
function apart(parts, ways) {
  // parts that don't depend on the others by themselves, the rest together
  const out = [],
    together = [];
  parts.forEach((p, n) => {
    const own = [...new Set(ways.map((way) => way[n]))],
      rest = new Set(ways.map((way) => String(way.filter((_, i) => i !== n))));
    if (own.length * rest.size === ways.length) out.push({ parts: [p], choices: own.map((at) => [at]) });
    else together.push(n);
  });
  if (together.length) {
    const kept = new Map(ways.map((way) => together.map((n) => way[n])).map((way) => [String(way), way]));
    out.push({ parts: together.map((n) => parts[n]), choices: [...kept.values()] });
  }
  return out;
}
