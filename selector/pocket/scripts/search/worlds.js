// What a board may be where facts aren't given and selectors that declare equipment stand nobody knows where: the same
// table under each of them. What is said of a setting holds in every world; what the worlds disagree on is not known.
class World {
  // `number` 0: nothing is open, the engine is the one that was given; `at`: part -> where it stands here
  constructor(number, engine, at) {
    Object.assign(this, { number, engine, at, does: new Map(), reads: new Map() });
  }
  filled(setting) {
    return this.at.size ? setting.map((x, p) => this.at.get(p) ?? x) : setting;
  }
  register(x) {
    return x + this.number * this.engine.table.registers;
  }
  // an instruction on the registers of this world
  do(n) {
    const i = this.engine.do(n);
    if (!this.number) return i;
    if (!this.does.has(n))
      this.does.set(n, {
        ...i,
        x: this.register(i.x),
        ...(i.y === undefined ? {} : { y: this.register(i.y) }),
        ...(i.r ? { r: this.reading(i.r) } : {}),
        ...(i.if ? { if: i.if.map((r) => this.reading(r)) } : {}),
      });
    return this.does.get(n);
  }
  reading(r) {
    // with the parts that nobody knows as they stand, its figures under the facts of this world
    if (!this.reads.has(r)) {
      const at = new Map(r.p.filter((p) => this.at.has(p)).map((p) => [p, this.at.get(p)]));
      const own = at.size ? { at, p: r.p.filter((p) => !at.has(p)), w: [...at].join(" ") } : {};
      this.reads.set(r, { ...r, ...own, e: this.engine });
    }
    return this.reads.get(r);
  }
}
class Worlds {
  // the worlds of the stages of one table; `unknown`: parts of which nobody knows where they stand
  constructor(engine, unknown) {
    Object.assign(this, { engine, unknown, numbers: new Map(), stages: new Map() });
  }
  of(c, s, heat = false) {
    const key = `${c} ${s} ${heat}`;
    if (!this.stages.has(key)) this.stages.set(key, this.made(c, s, heat));
    return this.stages.get(key);
  }
  made(c, s, heat) {
    const { engine } = this;
    let [, cases] = engine.cases(engine.needs(c, s, heat));
    const read = new Set(cases.flatMap(([, e]) => readingsOf(e, [...e.steps(e.plan(c, s), heat)]).flatMap((r) => r.p)));
    let open = [...this.unknown].filter((p) => read.has(p)).sort((a, b) => a - b);
    const count = (p) => engine.table.parts[p].p.length;
    if (open.reduce((n, p) => n * count(p), cases.length) > engine.table.most_cases) {
      cases = [[[], engine]];
      open = [];
    }
    return cases.flatMap(([, e]) =>
      [...product(open.map((p) => [...Array(count(p)).keys()]))].map((way) =>
        this.numbered(e, new Map(open.map((p, n) => [p, way[n]]))),
      ),
    );
  }
  numbered(e, at) {
    if (e === this.engine && !at.size) return (this.none ??= new World(0, e, at));
    const key = [...at].join(" ");
    if (!this.numbers.has(e)) this.numbers.set(e, new Map());
    const same = this.numbers.get(e);
    this.count ??= 0;
    if (!same.has(key)) same.set(key, new World(++this.count, e, at));
    return same.get(key);
  }
}
