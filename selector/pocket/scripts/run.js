"use strict";
// Exact fractions {n, d}: whole numbers while they are safe, BigInt beyond.
const safe = Number.isSafeInteger;
const gcd = (a, b) => {
  while (b) [a, b] = [b, a % b];
  return a;
};
function fraction(n, d) {
  if (typeof n === "bigint") {
    const g = gcd(n < 0n ? -n : n, d);
    n /= g;
    d /= g;
    return safe(Number(n)) && safe(Number(d)) ? { n: Number(n), d: Number(d) } : { n, d };
  }
  const g = gcd(Math.abs(n), d);
  return { n: n / g + 0, d: d / g };
}
const big = (x) => (typeof x.n === "bigint" ? x : { n: BigInt(x.n), d: BigInt(x.d) });
const small = (a, b) => typeof a.n === "number" && typeof b.n === "number";
function times(a, b) {
  if (small(a, b)) {
    const n = a.n * b.n,
      d = a.d * b.d;
    if (safe(n) && safe(d)) return fraction(n, d);
  }
  a = big(a);
  b = big(b);
  return fraction(a.n * b.n, a.d * b.d);
}
function plus(a, b) {
  if (small(a, b)) {
    const p = a.n * b.d,
      q = b.n * a.d,
      d = a.d * b.d;
    if (safe(p) && safe(q) && safe(p + q) && safe(d)) return fraction(p + q, d);
  }
  a = big(a);
  b = big(b);
  return fraction(a.n * b.d + b.n * a.d, a.d * b.d);
}
const whole = (n) => ({ n, d: 1 });
const ZERO = whole(0),
  ONE = whole(1),
  HUNDRED = whole(100);
const minus = (a, b) => plus(a, { n: -b.n, d: b.d });
const over = (a, b) => times(a, b.n < 0 ? { n: -b.d, d: -b.n } : { n: b.d, d: b.n });
function compare(a, b) {
  if (small(a, b)) {
    const p = a.n * b.d,
      q = b.n * a.d;
    if (safe(p) && safe(q)) return p - q;
  }
  a = big(a);
  b = big(b);
  const p = a.n * b.d,
    q = b.n * a.d;
  return p < q ? -1 : p > q ? 1 : 0;
}
const same = (a, b) => a.n === b.n && a.d === b.d;
function floor(x) {
  const zero = typeof x.n === "bigint" ? 0n : 0;
  const rest = x.n % x.d;
  return fraction((x.n - rest) / x.d - (rest < zero ? x.d / x.d : zero), x.d / x.d);
}
function rounded(x, step, way) {
  const k = over(x, step),
    half = fraction(1, 2);
  if (way === "round up") return times(minus(ZERO, floor(minus(ZERO, k))), step);
  if (way === "round down") return times(floor(k), step);
  const away = compare(k, ZERO) < 0 ? minus(ZERO, floor(plus(minus(ZERO, k), half))) : floor(plus(k, half));
  return times(away, step);
}
function decimal(text) {
  // an exact number as typed, null if it is none
  const m = /^([+-]?)(\d{0,9})(?:\.(\d{0,9}))?$/.exec(
    text.trim().replace(/^([+-]?\d{1,3}(?:,\d{3})+)(?=\.|$)/, (t) => t.replace(/,/g, "")),
  );
  if (!m || !(m[2] || m[3])) return null;
  const x = fraction(BigInt((m[2] || "") + (m[3] || "")), 10n ** BigInt((m[3] || "").length));
  return m[1] === "-" ? minus(ZERO, x) : x;
}
function figure(x, places = 1) {
  // halves away from zero, thousands commas, no needless .0
  const b = big(x),
    ten = 10n ** BigInt(places),
    n = b.n < 0n ? -b.n : b.n;
  const units = (2n * n * ten + b.d) / (2n * b.d);
  const text = String(units / ten).replace(/\B(?=(\d{3})+$)/g, ",");
  const part = places ? "." + String(units % ten).padStart(places, "0") : "";
  return (b.n < 0n && units ? "-" : "") + text + (part === ".0" ? "" : part);
}
const general = (x) => String(Number((Number(x.n) / Number(x.d)).toPrecision(6)));

// A no is {k: kind, w: why}, and e, what it may be, where a figure is printed as one of several: for each case the
// choices (a printed figure and a number each) and the figure that comes of them; tons or airflow per ton waiting for
// the other {half, v}; a figure a fraction; nothing null.
const RUNS = 0,
  NOT_USABLE = 1,
  OUTSIDE = 2,
  UNREADABLE = 3,
  UNKNOWN = 4; // of several that hold the first is told
const no = (k, w) => ({ k, w });
const isNo = (x) => x !== null && x.k !== undefined;
const isFigure = (x) => x !== null && x.n !== undefined;

const rising = (figures) => [...new Map(figures.map((x) => [text(x), x])).values()].sort(compare);
const figuresOf = (x) => (isFigure(x) ? [x] : rising((x.e || []).map(([, y]) => y)));
const casesOf = (x) => (x !== null && x.e) || [[[], x]];
function inEachCase(x, op, v, word) {
  // one value where all cases agree
  const found = [];
  for (const [a, p] of casesOf(x))
    for (const [b, q] of casesOf(v)) {
      const both = [...new Set([...a, ...b])];
      const apart = new Set(both.map((c) => c.slice(0, c.lastIndexOf(":"))));
      if (apart.size === both.length) found.push([both, act(p, op, q, word)]);
    }
  const [[, first]] = found;
  if (found.every(([, y]) => text(y) === text(first))) return first;
  const refused = found.find(([, y]) => isNo(y));
  return refused ? refused[1] : { ...(x?.e ? x : v), e: found };
}
function act(x, op, v, word) {
  if (x?.e || v?.e) return inEachCase(x, op, v, word);
  if (isNo(x) || v === null) return x;
  if (isNo(v)) return v;
  if (op === "start") return x === null ? v : no(OUTSIDE, "two of the airflows that exclude each other hold at once");
  if (op === "product") {
    if (x === null) return { half: word, v };
    return x.half && x.half !== word ? times(x.v, v) : no(OUTSIDE, `${word} stands where it can't be used`);
  }
  if (!isFigure(x)) return no(OUTSIDE, "no airflow to start from holds here");
  return ACTS[op](x, v);
}
const ACTS = {
  "divide heat": (x, v) => (v.n === 0 ? no(OUTSIDE, "a rise of 0 has no airflow") : over(x, v)),
  "add percent": (x, v) => over(times(x, plus(HUNDRED, v)), HUNDRED),
  "percent of": (x, v) => over(times(x, v), HUNDRED),
  "percent off": (x, v) => over(times(x, minus(HUNDRED, v)), HUNDRED),
  add: plus,
  subtract: minus,
  "raise to": (x, v) => (compare(v, x) > 0 ? v : x),
  "lower to": (x, v) => (compare(v, x) < 0 ? v : x),
  round: (x, v) => rounded(x, v, "round"),
  "round up": (x, v) => rounded(x, v, "round up"),
  "round down": (x, v) => rounded(x, v, "round down"),
  times,
};
function firstNo(x, one) {
  const told = x !== null && isNo(x) && x.k <= one.k ? x : one;
  return told.e ? no(told.k, told.w) : told; // with two of them nothing is known of what may be
}
function held(conditions, read) {
  let unsure = null;
  for (const c of conditions || []) {
    const outcome = read(c);
    if (isNo(outcome)) unsure = firstNo(unsure, outcome);
    else if (!same(outcome, ONE)) return false;
  }
  return unsure || true;
}
function carryOut(i, x, other, read) {
  // x: the register before; other: the register that i reads
  if (x !== null && isNo(x) && x.k === RUNS) return x;
  const holds = held(i.if, read);
  if (isNo(holds)) {
    // a step of which it isn't known whether it counts matters only where it changes something
    const after = holds.k >= UNREADABLE && i.o !== "runs" ? carried(i, x, other, read) : null;
    if (x === null || after === null) return firstNo(x, holds);
    const alike = isNo(x) ? isNo(after) && x.k === after.k && x.e === after.e : isFigure(after) && same(x, after);
    return alike ? x : firstNo(x, holds);
  }
  if (i.o === "runs") return holds ? x : no(RUNS, `it runs only with ${i.m}`);
  return holds ? carried(i, x, other, read) : x;
}
function carried(i, x, other, read) {
  if (i.o === "stands") {
    const against = i.r ? read(i.r) : other;
    const forbids = against !== null && isNo(against) && (against.k === NOT_USABLE || against.k === OUTSIDE);
    return forbids || (!i.r && against !== null && isNo(against) && against.k === RUNS) ? firstNo(x, against) : x;
  }
  let v = i.v;
  if (i.f) {
    v = finished(other);
    if (BOUNDS.has(i.o) && isNo(v) && v.k === RUNS) v = null; // a call that doesn't run is no bound
  } else if (i.y !== undefined)
    v =
      other === null
        ? no(UNKNOWN, `${i.m} is not known`)
        : other.half
          ? no(OUTSIDE, `only ${other.half} is known here`)
          : other;
  else if (i.r) v = read(i.r);
  if (isNo(v) && !v.e) return firstNo(x, v);
  if (isNo(x) && !x.e) return isNo(v) ? firstNo(x, v) : x;
  return i.o === "bound" ? v : act(x, i.o, v, i.q);
}
const finished = (x) => (isFigure(x) || isNo(x) ? x : no(OUTSIDE, "no airflow to start from holds here"));

// One table under known facts. `known`: fact -> word, or number as a fraction. What depends on facts is picked out of
// the exported trees.
class Engine {
  // `assumes`: whether the usual airflow per ton is held against, where that isn't told by the tons
  constructor(table, model, known, assumes = null) {
    this.table = table;
    this.known = known;
    this.model = table.models[model];
    this.forget();
    this.others = new Map();
    this.judgements = new Map();
    this.nevers = new Map();
    this.worlds = new Map();
    this.tons = this.value(this.pick(this.model.tons));
    this.assumes = assumes ?? this.tons !== null;
    this.factor = this.value(table.factor);
    this.parts = table.parts.map((part, p) => ({ ...part, ...this.model.parts[p] }));
    this.labels = this.pick(this.model.labels);
    this.beyond = this.pick(this.model.beyond).map((w) => this.words(w));
    this.shares = table.calls.map((c) => c.shares.map((x) => this.value(x)));
    this.may = new Map(); // parts that were half read: the positions they may have
  }
  half(may) {
    this.may = may;
    this.judgements.clear();
    for (const e of this.others.values()) e.half(may);
  }
  forget() {
    Object.assign(this, { leaves: [], does: [], lists: new Map(), plans: this.table.calls.map(() => []) });
  }
  // the same at another firing rate
  fired(rate) {
    const e = Object.create(this, { known: { value: new Map([...this.known, ["firing rate", rate]]) } });
    e.forget();
    return e;
  }
  // How a stage is worked out: its points, the instructions of each, its limits.
  plan(c, s) {
    return (this.plans[c][s] ??= this.planned(this.model.stages[c][s]));
  }
  planned(stage) {
    const [asked, points] = this.pick(stage.points),
      held = (this.known.has("static pressure") && this.pick(stage.static)) || [];
    const [told, taken] = [this.pick(stage.told), this.pick(stage.assumed) ?? []];
    return { asked, held, points: points.map((p) => this.point(p, held)), told, taken };
  }
  plansOf(c) {
    return this.table.calls[c].stages.map((_, s) => this.plan(c, s));
  }
  point([rate, air, heat], held) {
    // static pressure is held against plate and page where it is given, the usual airflow per ton where the tons are
    const warm = this.list(heat),
      [limits, ends] = this.pick(this.model.limits[air]),
      usual = limits.filter(([, , , source]) => this.assumes || source !== this.table.assumed);
    const groups = [this.list(air), warm, ends];
    return { rate, air, heat: warm.length ? heat : null, warm: heat, do: groups, limits: [...usual, ...held] };
  }
  list(x) {
    // the instructions that end in a register, those of the registers that it reads before them
    if (!this.lists.has(x)) {
      const [before, own] = this.pick(this.model.programs[x]);
      this.lists.set(x, [...new Set([...before.flatMap((y) => this.list(y)), ...own])]);
    }
    return this.lists.get(x);
  }
  // The facts not given that a stage looks at; `heat`: by its heat too where nothing is held against that.
  needs(c, s, heat = false) {
    const plan = this.plan(c, s),
      point = plan.points[plan.asked],
      steps = [...this.steps(plan, heat)].map((n) => this.do(n)),
      readings = steps.flatMap((i) => [...(i.if || []), ...(i.r ? [i.r] : [])]);
    const named = point.limits.map(([, , , , , , , , needs]) => needs).filter((x) => x);
    return [...new Set([...readings.flatMap((r) => r.f || []), ...named])];
  }
  // What a fact that isn't given may be: its words, else every figure printed along it.
  possible(name) {
    const { facts, models } = this.table;
    if (name === "model") return models.length > 1 ? models.slice(1).map((m) => m.model) : [];
    return facts.find((f) => f.n === name)?.may.map((x) => (typeof x === "string" ? x : this.value(x))) ?? [];
  }
  // The table under each combination of what these facts may be, `[values, engine]` each; itself alone where that
  // can't be told or there are too many.
  cases(needs) {
    const names = needs.filter((name) => this.possible(name).length),
      choices = names.map((name) => this.possible(name));
    const count = choices.reduce((n, list) => n * list.length, 1);
    if (!names.length || count > this.table.most_cases) return [[], [[[], this]]];
    return [names, [...product(choices)].map((values) => [values, this.told(names, values)])];
  }
  told(names, values) {
    const key = names.map((name, n) => `${name} ${values[n].n === undefined ? values[n] : text(values[n])}`).join("|");
    if (!this.others.has(key)) {
      const known = new Map(this.known);
      let model = this.table.models.indexOf(this.model);
      names.forEach((name, n) => {
        if (name === "model") model = this.table.models.findIndex((m) => m.model === values[n]);
        else known.set(name, values[n]);
      });
      const e = new Engine(this.table, model, known, this.assumes);
      e.half(this.may);
      this.others.set(key, e);
    }
    return this.others.get(key);
  }
  pick(t) {
    for (;;) {
      if (t && t.by !== undefined) {
        const word = this.known.get(t.by);
        t = word !== undefined && Object.hasOwn(t.of, word) ? t.of[word] : t.none;
      } else if (t && t.along !== undefined) {
        const x = this.known.get(t.along);
        if (x === undefined) {
          t = t.none;
          continue;
        }
        const at = t.at.map(([y, sub]) => [compare(this.value(y), x), sub]);
        const hit = at.find(([c]) => c === 0);
        t = hit ? hit[1] : t.gap[at.filter(([c]) => c < 0).length];
      } else return t;
    }
  }
  value(x) {
    if (x === null) return null;
    if (typeof x === "number") return whole(x);
    if (Array.isArray(x)) return fraction(BigInt(x[0]), BigInt(x[1]));
    if (typeof x === "string") return fraction(BigInt(x), 1n);
    if (x.c) {
      const v = this.known.get(x.v),
        [a, b, c] = x.c.map((y) => this.value(y));
      return plus(a, times(v, plus(b, times(v, c))));
    }
    if (x.k !== undefined)
      return {
        k: x.k,
        w: this.words(x.w),
        ...(x.e && { e: x.e.map(([chosen, y]) => [chosen, this.value(y)]) }),
      };
    return x;
  }
  words(w) {
    return typeof w === "string" ? w : w.t.replace("\0", () => general(this.known.get(w.v)));
  }
  do(n) {
    if (!this.does[n]) {
      const i = this.table.does[n];
      this.does[n] = { ...i, v: i.v === undefined ? null : this.value(i.v) };
    }
    return this.does[n];
  }
  leaf(n) {
    if (!this.leaves[n]) {
      const [value, note, copies] = this.table.nodes[n].l;
      this.leaves[n] = { value: this.value(value), note, copies };
    }
    return this.leaves[n];
  }
  node(r, at) {
    // the number of the leaf that answers for a setting
    const nodes = this.table.nodes,
      parts = this.table.parts;
    let n = r.g;
    for (let node = nodes[n]; !node.l; node = nodes[n]) {
      const p = node[0],
        i = r.at?.get(p) ?? at[p];
      n = node[1 + (i < 0 ? parts[p].p.length : i)];
    }
    return n;
  }
  unread(r, at) {
    return r.p.some((p) => at[p] === null || at[p] === undefined);
  }

  // Every call of a board in one setting (null: not given, -1: off its pins), as it is judged. `bare`: of a board on
  // which nothing is tapped, where only what is to be typed is told of a stage that reads it.
  evaluate(at, bare = false) {
    const boards = new Map([[this, new Board(this, at)]]),
      board = boards.get(this);
    return this.table.calls.map((call, c) =>
      call.stages.map((stage, s) => {
        const plan = this.plan(c, s),
          p = plan.points[plan.asked],
          heat = board.heat(p),
          warm = heat !== null && isFigure(heat),
          own = (bare && untapped(this, c, s, at)) || judgeStage(this, c, s, at, boards),
          { air } = own,
          tons = this.running(c, s),
          flows = isFigure(air);
        board.air(p);
        return {
          ...own,
          call: call.n,
          stage,
          heat,
          rate: this.value(p.rate),
          rise: flows && warm && air.n && heat.n ? over(heat, times(this.factor, air)) : null,
          perTon: flows && tons && call.compressor ? over(air, tons) : null,
          told: plan.told.map((t) => (t !== null && t.g !== undefined ? board.read(t) : this.value(t))),
          pages: (board.seen.get(p.air) || []).map((r) => r[1]).filter((x) => x),
          notes: isNo(air) && air.k === RUNS ? [] : this.notes(plan, board),
          assumed: (mayRun(board.air(p)) ? plan.taken : [])
            .filter(([, ofAir]) => ofAir || mayRun(heat))
            .map(([said]) => said),
        };
      }),
    );
  }
  steps(plan, warm = false) {
    // everything that is carried out to judge a stage; `warm`: its heat even where nothing is held against that
    const heat = (p) => (warm || p.limits.some(([quantity]) => OF_HEAT.has(quantity)) ? p.do[1] : []);
    return new Set(plan.points.flatMap((p) => [...p.do[0], ...p.do[2], ...heat(p)]));
  }
  // What the page says of the charts, rows and selectors that a stage reads, whatever its open positions are.
  notes(plan, board) {
    const out = new Set(),
      { at } = board,
      counts = [...this.steps(plan)].map((n) => this.do(n)).filter((i) => held(i.if, board.read) !== false),
      told = plan.told.filter((t) => t !== null && t.g !== undefined);
    for (const r of distinct([...counts.flatMap((i) => [...(i.r ? [i.r] : []), ...(i.if || [])]), ...told])) {
      for (const note of r.t || []) out.add(note);
      const open = r.p.filter((p) => at[p] === null || at[p] === undefined),
        ways = open.map((p) => openPositions(this, p));
      if (ways.reduce((n, w) => n * w.length, 1) > MOST_ROWS) continue;
      const whole = at.slice();
      for (const way of product(ways)) {
        open.forEach((p, i) => {
          whole[p] = way[i];
        });
        const { note, copies } = this.leaf(this.node(r, whole));
        if (note) out.add(`${r.n}: ${note}`);
        if (copies && !ledBy(copies)) out.add(`${r.n}: this row behaves as another, and is never proposed`);
      }
    }
    return [...out];
  }
  // The limits judged between printed firing rates, where a bound begins or ends to act: each pass settles one more
  // bound.
  bends(c, s, at) {
    const stage = this.model.stages[c][s];
    if (!stage.bends) return [];
    const printed = this.pick(stage.rates).map((x) => this.value(x)),
      [, [[, air, heat]]] = stage.bends,
      rates = [...printed];
    const seen = new Map(),
      at1 = (rate) => {
        const e = this.fired(rate),
          board = new Board(e, at),
          { points, held } = this.plan(c, s),
          own = points.find((p) => same(this.value(p.rate), rate)),
          point = e.point(own ? [rate, own.air, own.warm] : [rate, air, heat], held),
          bounds = [];
        board.run(point.do[0], bounds);
        return { board, point, bounds };
      };
    const known = (rate) => seen.get(text(rate)) || seen.set(text(rate), at1(rate)).get(text(rate));
    for (let pass = printed.length ? known(printed[0]).bounds.length : 0; pass; pass--) {
      const found = [];
      for (let n = 1; n < rates.length; n++) {
        const low = known(rates[n - 1]).bounds,
          high = known(rates[n]).bounds;
        low.forEach((a, i) => {
          const b = high[i];
          if (a && b && a.n < 0 !== b.n < 0 && a.n && b.n)
            found.push(plus(rates[n - 1], over(times(minus(rates[n], rates[n - 1]), a), minus(a, b))));
        });
      }
      if (!found.length) break;
      for (const x of found) if (!rates.some((y) => same(x, y))) rates.push(x);
      rates.sort(compare);
    }
    return rates
      .filter((x) => !printed.some((y) => same(x, y)))
      .flatMap((x) => {
        const { board, point } = known(x);
        return isNo(board.air(point)) ? [] : board.judged(c, s, point);
      });
  }
  contradictions(at) {
    // selectors that tell the board other equipment than is installed; where it is less, and hurts: the danger first
    const out = this.table.parts.flatMap((_, p) => {
      const one = this.model.declared[p] && at[p] !== null ? this.toldBy(p, at[p]) : null;
      return one ? [one] : [];
    });
    return [...out.sort((a, b) => !a.what - !b.what), ...(this.tons === null ? [] : this.toldTons(at))];
  }
  toldBy(p, at) {
    // what a selector at a position tells of equipment that is otherwise; null where it isn't
    const part = this.table.parts[p],
      [fact, positions, own, tells, unit, less] = this.model.declared[p],
      known = fact === "model" ? this.model.model : this.known.get(fact);
    if (known === undefined || known === null || (positions ? (positions[known] ?? null) : own) === at) return null;
    const told = tells[at] ?? word(this.table, p, at),
      numbers = [told, known].map((x) => decimal(`${x}`)),
      [board, there] = [told, known].map((x, i) => (unit && numbers[i] ? `${x} ${unit}` : x)),
      under = numbers[1] && !(numbers[0] && compare(numbers[0], numbers[1]) >= 0),
      where = fact === "model" ? `; the plate says ${there}` : `; ${there} installed`;
    const what = less && under ? less : null;
    return { said: `${part.n} is set for ${unit ? "" : `${fact} `}${board}${where}.`, there, what, declares: true };
  }
  mayTell(at) {
    // those that were half read and may tell less than is there, where that hurts
    return [...this.may].flatMap(([p, some]) => {
      if (!this.model.declared[p] || at[p] !== null) return [];
      const worst = some.map((q) => this.toldBy(p, q)).find((x) => x && x.what);
      return worst ? [{ ...worst, what: worst.what.replace("smaller", "unread"), half: this.parts[p].n }] : [];
    });
  }
  toldTons(at) {
    // those that give a call other tons than those of the outdoor unit
    return this.pick(this.model.told).flatMap(([names, r]) => {
      const told = this.unread(r, at) ? null : this.leaf(this.node(r, at)).value;
      if (told === null || !isFigure(told)) return [];
      const off = minus(told, this.tons),
        far = compare(off.n < 0 ? minus(ZERO, off) : off, this.value(this.table.half_ton_step)) >= 0,
        [board, there] = [told, this.tons].map((x) => `${general(x)} tons`);
      return far ? [{ said: `${names} is set for ${board}; ${there} installed.`, what: null, declares: false }] : [];
    });
  }
  clash(at, open = new Set()) {
    // leads on one tap that may not be, each with the other; what is in `open` may still stand as that takes
    const out = new Map();
    for (const leads of this.table.exclusive)
      for (const a of leads)
        for (const b of leads)
          if (a !== b && at[a] !== null && at[a] === at[b] && at[a] !== this.table.parts[a].p.length - 1)
            if (!this.mayShare(a, b, at, open)) out.set(a, b);
    return out;
  }
  mayShare(a, b, at, open) {
    return this.table.share.some(
      ([leads, when]) =>
        leads.includes(a) && leads.includes(b) && when.every(([p, allowed]) => open.has(p) || allowed.includes(at[p])),
    );
  }
  decidingATap(at, leads) {
    // the parts without a position that say whether one of these leads may stand on the tap of another
    return this.table.share.flatMap(([some, when]) => {
      const may = (a) => at[a] === null || some.some((b) => b !== a && at[a] === at[b]);
      return some.some((a) => leads.includes(a) && may(a))
        ? when.map(([p]) => p).filter((p) => p >= 0 && at[p] === null)
        : [];
    });
  }
  clashed(r, clash) {
    // why a reading of a lead is refused that stands on one tap with another, null if none does
    const name = (p) => this.table.parts[p].n,
      hit = clash.size ? r.p.find((p) => clash.has(p)) : undefined;
    return hit === undefined ? null : no(NOT_USABLE, `${name(hit)} and ${name(clash.get(hit))} share a tap`);
  }
  running(c, s) {
    const share = this.shares[c][s];
    return this.tons === null || share === null ? null : times(this.tons, share);
  }
  ends([, lowest, highest, , least, most], get) {
    // the ends of a limit, those included that charts and conditions give; the no of an end that isn't there
    const given = [get(least), get(most)],
      none = given.find((x) => x !== null && isNo(x)),
      printed = [this.value(lowest), this.value(highest)];
    return none ?? printed.map((x, i) => (given[i] !== null && isFigure(given[i]) ? given[i] : x));
  }
  judge([quantity, lowest, highest, source, least, most, line, missing, , fired], c, s, point, air, heat, get) {
    const out = {
      quantity,
      source,
      ok: null,
      value: null,
      low: this.value(lowest),
      high: this.value(highest),
      why: "",
      rate: this.value(point.rate),
      key: [quantity, source, line, least !== null].join("|"),
    };
    if (missing) return { ...out, why: missing };
    const ends = this.ends([quantity, lowest, highest, source, least, most], get);
    if (isNo(ends)) return { ...out, low: null, high: null, ok: ends.k === RUNS ? true : null, why: ends.w };
    [out.low, out.high] = ends;
    if (out.low === null && out.high === null) return { ...out, ok: true };
    if (quantity === "airflow") out.value = air;
    else if (fired !== undefined) {
      const x = get(fired);
      if (x === null || isNo(x)) return { ...out, why: x === null ? `the ${quantity} is not known` : x.w };
      out.value = x;
    } else if (quantity === "static pressure") out.value = this.known.get("static pressure");
    else if (quantity === "airflow per ton") {
      const tons = this.running(c, s);
      const missing = this.tons === null ? "outdoor tons are" : "the stage's share of the outdoor unit is";
      if (tons === null) return { ...out, why: `${missing} not given` };
      out.value = over(air, tons);
    } else {
      if (heat === null || isNo(heat))
        return { ...out, why: heat === null ? "the delivered heat is not known" : heat.w };
      if (air.n === 0) return { ...out, ok: heat.n === 0, why: "no airflow" };
      if (heat.n === 0) return { ...out, ok: true, why: "no heat" };
      if (quantity === "outlet limit") return { ...out, why: "return air is not given" };
      out.value = over(heat, times(this.factor, air));
    }
    out.miss = beyond(out.value, out.low, out.high);
    out.ok = out.miss.n === 0;
    return out;
  }
}
// One setting under one engine: registers worked out as they are asked for, and the rows that were read for each.
class Board {
  constructor(engine, at) {
    Object.assign(this, { engine, at, registers: [], ran: new Set(), seen: new Map(), clash: engine.clash(at) });
    this.read = (r) => this.look(r).value;
    this.get = (x) => (x === null || this.registers[x] === undefined ? null : this.registers[x]);
  }
  look(r) {
    const { engine } = this,
      clash = engine.clashed(r, this.clash);
    if (clash) return { value: clash };
    if (engine.unread(r, this.at)) return { value: no(UNKNOWN, `a position that \`${r.n}\` needs isn't known`) };
    return engine.leaf(engine.node(r, this.at));
  }
  run(list, bounds = null) {
    // `bounds` collects how far the airflow is above each bound on its way, null where that isn't known
    const { engine, registers, read } = this;
    for (const n of list) {
      if (this.ran.has(n)) continue;
      this.ran.add(n);
      const i = engine.do(n),
        before = this.get(i.x),
        other = i.y === undefined ? null : this.get(i.y);
      if (bounds && BOUNDS.has(i.o)) {
        const start = { ...i, o: "start" },
          x = held(i.if, read) === true ? before : null,
          v = carryOut(start, null, other, read);
        bounds.push(x !== null && isFigure(x) && v !== null && isFigure(v) ? minus(x, v) : null);
      }
      registers[i.x] = carryOut(i, before, other, read);
      if (i.r && i.o !== "stands" && !(before !== null && isNo(before)) && held(i.if, read) !== false) {
        const rows = this.seen.get(i.x) || this.seen.set(i.x, []).get(i.x);
        rows.push([i.m, i.r.page, engine.unread(i.r, this.at) ? {} : engine.leaf(engine.node(i.r, this.at))]);
      }
    }
  }
  air(p) {
    this.run(p.do[0]);
    return finished(this.get(p.air));
  }
  heat(p) {
    this.run(p.do[1]);
    return p.heat === null ? null : finished(this.get(p.heat));
  }
  // The ends of the limits on one quantity, whatever the airflow is; one whose ends aren't known is left out.
  allowed(p, quantity) {
    this.run(p.do[2]);
    return p.limits
      .filter((limit) => limit[0] === quantity && !limit[7])
      .map((limit) => this.engine.ends(limit, this.get))
      .filter((ends) => !isNo(ends));
  }
  judged(c, s, p) {
    this.run(p.do[2]);
    const air = this.air(p),
      figures = figuresOf(air);
    if (!figures.length) return [];
    const heat = this.heat(p);
    return p.limits.map((limit) => {
      // kept or broken in every case, else it depends on the figure
      const found = figures.map((x) => this.engine.judge(limit, c, s, p, x, heat, this.get));
      if (new Set(found.map((j) => j.ok)).size > 1) return { ...found[0], ok: null, value: null, why: air.w };
      return found.reduce((a, b) => (b.miss && compare(b.miss, a.miss) < 0 ? b : a));
    });
  }
}
// the chart that leads to this one, where it is its row that behaves as another
const ledBy = (copies) => copies.find((x) => typeof x === "string");
const MOST_ROWS = 20000; // so many rows that open positions may lead to are looked through for notes
const BOUNDS = new Set(["raise to", "lower to"]);
// What runs when terminals are energised: the stages that they call for, less those wholly inside another, and their
// airflow together.
function energised(table, calls, on) {
  const matches = [],
    wordsOf = (c, i) =>
      table.calls[c].terminals[i]
        .toLowerCase()
        .split(" not ")
        .map((some) => some.split(" ").filter((w) => w));
  calls.forEach((call, c) =>
    call.forEach((s, i) => {
      const [wanted, off = []] = wordsOf(c, i);
      if (!wanted.length || !wanted.every((w) => on.has(w)) || off.some((w) => on.has(w))) return;
      if (!(isNo(s.air) && s.air.k === RUNS))
        matches.push({ c, s, wanted: new Set([...wanted, ...off.map((w) => `not ${w}`)]) });
    }),
  );
  const inside = (a, b) => a.size < b.size && [...a].every((w) => b.has(w));
  const kept = matches.filter((m) => !matches.some((o) => inside(m.wanted, o.wanted))),
    losers = new Set();
  const answer = (air) => ({ stages: kept.map((m) => m.s), air });
  if (!kept.length) return answer(no(RUNS, "these terminals call for nothing in this table"));
  const without = kept.find((m) => isNo(m.s.air));
  if (without) return answer(without.s.air);
  for (const [n, a] of kept.entries())
    for (const b of kept.slice(n + 1)) {
      const rule =
        a.c === b.c
          ? "highest"
          : table.calls[a.c].together[b.c] ||
            { this: "that", that: "this" }[table.calls[b.c].together[a.c]] ||
            table.calls[b.c].together[a.c];
      if (!rule)
        return answer(
          no(UNKNOWN, `the table doesn't say what runs when ${titled(a.s)} and ${titled(b.s)} are called at once`),
        );
      if (rule !== "highest") losers.add(rule === "this" ? b.c : a.c);
    }
  const left = kept
    .filter((m) => !losers.has(m.c))
    .map((m) => m.s.air)
    .sort(compare);
  return answer(
    left.length ? left[left.length - 1] : no(UNKNOWN, "the rules of these calls together name no one call"),
  );
}
// whether figures of a call may rest on this airflow or heat
const mayRun = (x) => x !== null && (isNo(x) ? x.k >= UNREADABLE : Boolean(x.n));
const titled = (s) => `${s.call} ${s.stage}`.trim();
const text = (x) =>
  x === undefined || x === null
    ? ""
    : isFigure(x)
      ? `${x.n}/${x.d}`
      : isNo(x)
        ? `${x.k} ${x.w}${(x.e || []).map(([chosen, y]) => `;${chosen} ${text(y)}`).join("")}`
        : `${x.half} ${x.v.n}/${x.v.d}`;
function beyond(x, low, high) {
  // distance to the nearer end over that end, 0 inside
  if (low !== null && compare(x, low) < 0) return low.n ? over(minus(low, x), low) : minus(low, x);
  if (high !== null && compare(x, high) > 0) return high.n ? over(minus(x, high), high) : minus(x, high);
  return ZERO;
}
