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
      const lead = motorsOf(table).get(p) ?? -1,
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
    const may = g.ways.filter(tapsApart(this.engine, space, g.parts)); // none: the board is seen with leads on one tap
    if (may.length || !space.asSeen) g.ways = may;
  }
  look(r, at) {
    // the leaf's number; -1 for a row that is never proposed, -2 for a lead on one tap with another, -3 for a refused
    // row that the board stands in already
    if (this.engine.clashed(r, this.clash)) return -2;
    const n = this.engine.node(r, at);
    const { copies } = (r.e || this.engine).leaf(n);
    const { baseline } = this.space;
    if (!this.proposing) return n;
    if (copies && copies.some((p) => (this.space.movable || this.home).has(p) && at[p] !== baseline[p])) return -1;
    return this.apart.has(r) && this.stays(n) && r.p.every((p) => at[p] === baseline[p]) ? -3 : n;
  }
  copied(r, at) {
    const { copies } = (r.e || this.engine).leaf(this.engine.node(r, at));
    return no(NOT_USABLE, `\`${ledBy(copies) || r.n}\` has this row only behaving as another`);
  }
  stays(n) {
    const { value } = this.engine.leaf(n);
    return value !== null && isNo(value) && value.k === NOT_USABLE;
  }
  of(r) {
    const key = named(r);
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
    g.of = g.ways.map((_, w) => (g.lead < 0 ? 0 : w)); // each way of a motor is a class of its own
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
  walk(steps, keep, own) {
    const { engine } = this,
      lastUse = new Map(),
      lastRegister = new Map(),
      local = new Map();
    const used = steps.map((i) => [...(i.if || []), ...(i.r ? [i.r] : [])]);
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
          ? this.copied(r, at)
          : (r.e || engine).leaf(n).value;
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
