// Selectors eliminated one after the other, the smallest table first: the settings with the lowest cost.
function lowest(space, tables, groups, single, first, near) {
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
    const setting = [...space.standing];
    unpacked(one, setting);
    for (const p of space.unknown) setting[p] = null;
    const moved = setting.flatMap((at, p) =>
      space.baseline[p] !== null && at !== null && space.baseline[p] !== at ? [p] : [],
    );
    return { setting, deviation: fraction(BigInt(one.c), scale), moved };
  });
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
