// What a measurement says, by the rules of verify: dangers first, a verdict inside the band, the next step.
const root = (x) => {
  const y = Math.sqrt(Number(x.n) / Number(x.d));
  return fraction(BigInt(Math.round(y * 2 ** 40)), 2n ** 40n);
};
const most = (a, b) => (compare(a, b) >= 0 ? a : b);
const least = (...xs) => xs.reduce((a, b) => (a === null || (b !== null && compare(b, a) < 0) ? b : a), null);
const capital = (x) => x[0].toUpperCase() + x.slice(1);
// a danger that was seen, in verify's words; it is of the whole unit
function seenDanger(rules, what) {
  const { level, stop, halts, first, do: next, order } = rules.danger[what],
    text = `${level}: ${first.replace(/\[[^\]]*\]/g, "")}`;
  return { what, text, level, stop, halts, steps: next[""], order, seen: true };
}
const COLD_COIL = ["cooling", "dehumidify", "fan"];
const PASSING = [null, "inside", "likely inside"];

class Verifier {
  // `readings`: {c, s, kind: rise or a method, figure, supply, back, static, clock: {volume, time, gas}, minutes}
  constructor(page, readings) {
    const { table, engine, setting } = page,
      rules = page.rules,
      m = table.measure;
    Object.assign(this, { page, table, engine, setting, rules, m, plate: m.models[page.model] });
    this.meter = readings.find((r) => r.clock) ?? null;
    this.states = readings.map((r) => this.take(r));
    this.dangers = [...page.measure.seen].map((what) => seenDanger(rules, what));
    this.dangers.push(...this.states.flatMap((x) => this.outside(x)));
    this.dangers.sort((a, b) => a.order - b.order);
    this.ceiling = least(...this.states.map((x) => this.through(x)));
    const of = (x) => (d) => d.c === x.c && d.s === x.s && rules.danger[d.what].over;
    for (const x of this.states) x.over = this.dangers.some(of(x));
    for (const x of this.states) this.judge(x);
    this.stop = this.dangers.some((d) => d.stop);
    for (const x of this.states) Object.assign(x, this.said(x), { steps: this.steps(x) });
  }
  v(x) {
    return x === null || x === undefined ? null : this.engine.value(x);
  }
  take(r) {
    // a reading, and what the board is set for in its stage; what is read too early doesn't count
    const { m, table } = this,
      call = m.calls[r.c];
    let e = this.engine;
    if ((call.prints || call.ends.length) && r.static) e = this.under(r.static);
    const st = e.evaluate(this.setting)[r.c][r.s],
      [plateLow, plateHigh, outlet, input, share] = this.plate.stages[r.c][r.s].map((x) => this.v(x));
    const [low, high, whoseLow, whoseHigh] = this.riseAsSet(e, r.c, r.s, plateLow, plateHigh);
    const x = { ...r, e, st, call, low, high, whoseLow, whoseHigh, outlet, input, share, title: titled(st) };
    x.fuel = call.fuel;
    x.heats = table.calls[r.c].heats;
    x.clocked = r.clock ? this.input(r.clock) : null;
    x.fire = x.clocked ?? this.inProportion(x);
    x.rise = r.kind === "rise" && r.figure ? r.figure : null;
    const full = this.full(st),
      warm = x.rise !== null || x.clocked !== null;
    const settled = full && most(plus(full, this.v(this.rules.settle)), this.v(call.steady[r.s]));
    x.early = (from) => !full || (r.minutes === null ? from.n > 0 : compare(times(r.minutes, whole(60)), from) < 0);
    const meter = x.clocked !== null && x.rise === null; // alone it counts at any time
    x.warmCounts = meter || (warm && Boolean(full) && !x.early(settled));
    x.airCounts = Boolean(full) && !x.early(full);
    x.staticCounts = Boolean(r.static) && x.airCounts;
    const direct = r.figure !== null && r.kind !== "rise";
    const from = full && (warm ? settled : full),
      late = from && `${figure(plus(over(from, whole(60)), fraction(49n, 100n)), 0)} min`;
    x.wait =
      (warm && !x.warmCounts) || ((r.figure !== null || Boolean(r.static)) && !x.airCounts)
        ? late
          ? r.minutes === null
            ? ` Type the minutes since the call began; it counts ${late} in.`
            : ` Wait to ${late} and measure again.`
          : ""
        : "";
    x.problems = (warm && !x.warmCounts) || ((direct || Boolean(r.static)) && !x.airCounts);
    x.iced = this.page.measure.seen.has("iced coil") && COLD_COIL.includes(call.role);
    if (!x.iced && (direct ? x.airCounts : x.warmCounts)) x.flow = this.flow(x);
    if (x.rise && x.warmCounts && !x.flow) x.problems = true;
    if (x.flow) {
      x.floor = times(x.flow.air, minus(ONE, over(x.flow.band, HUNDRED)));
      x.top = times(x.flow.air, plus(ONE, over(x.flow.band, HUNDRED)));
    }
    x.selected = isFigure(st.air) ? st.air : null;
    x.pressure = x.staticCounts ? this.pressure(x) : null;
    return x;
  }
  input(clock) {
    return over(times(times(clock.volume, whole(3600)), clock.gas), clock.time);
  }
  inProportion(x) {
    // the input of a stage beside the one that was clocked, in proportion to the plate; null where it isn't known
    const lit = this.meter && this.meter.c === x.c && this.v(this.plate.stages[x.c][this.meter.s][3]);
    return lit && x.input && x.share ? over(times(this.input(this.meter.clock), x.input), lit) : null;
  }
  under(static_) {
    return new Engine(this.table, this.page.model, new Map([...this.engine.known, ["static pressure", static_]]));
  }
  asSetUpTo(x) {
    // the static up to which a footnote at the figures that are set holds: an airflow below it, none above
    const hair = fraction(1n, 1000n),
      flows = (p) => figuresOf(this.under(p).evaluate(this.setting)[x.c][x.s].air).length;
    return x.call.ends.map((e) => this.v(e)).find((e) => flows(minus(e, hair)) && !flows(plus(e, hair))) ?? null;
  }
  riseAsSet(e, c, s, low, high) {
    // the plate's rise with what the page prints for the marks set
    const plan = e.plan(c, s);
    let [atLeast, atMost] = ["the plate's", "the plate's"];
    for (const [least, most] of new Board(e, this.setting).allowed(plan.points[plan.asked], "temperature rise")) {
      if (least !== null && (low === null || compare(least, low) > 0)) [low, atLeast] = [least, "the manual's"];
      if (most !== null && (high === null || compare(most, high) < 0)) [high, atMost] = [most, "the manual's"];
    }
    return [low, high, atLeast, atMost];
  }
  full(st) {
    // seconds until the blower runs at its full airflow, null where that can't be told
    const [ramp, on] = st.told,
      ramps = Object.values(this.m.ramps).map((x) => this.v(x));
    if (on !== null && isNo(on)) return null;
    const delay = on ?? ZERO;
    if (ramp !== null && isNo(ramp))
      return ramps.length && ramp.k >= UNREADABLE ? plus(delay, ramps.reduce(most)) : null;
    return plus(delay, ramp === null ? ZERO : this.v(this.m.ramps[ramp.s] ?? 0));
  }
  flow(x) {
    // the airflow, its band in percent, whether it rests on heat that wasn't measured
    const { rules } = this;
    if (x.figure === null) return null;
    if (x.kind !== "rise") return { air: x.figure, band: this.v(rules.methods[x.kind]), method: x.kind };
    const made = x.fire !== null && x.share !== null ? times(x.fire, x.share) : null,
      heat = made ?? (x.st.heat !== null && isFigure(x.st.heat) && x.st.heat.n ? x.st.heat : null);
    if (!heat || compare(x.rise, ZERO) <= 0 || (x.clocked && !made)) return null;
    const [probes, input, factor] = rules.parts.map((p) => this.v(p)),
      degrees = over(times(HUNDRED, times(probes, this.v(this.m.degree))), x.rise);
    const sum = root(plus(times(degrees, degrees), plus(times(input, input), times(factor, factor))));
    const band = most(this.v(rules.rise[made ? 0 : 1]), sum);
    return {
      air: over(heat, times(this.engine.factor, x.rise)),
      band,
      method: made ? "clocked gas and rise" : "rise",
      plate: !made,
    };
  }
  pressure(x) {
    const plate = this.v(this.plate.static),
      holds = least(this.v(this.plate.holds[x.c]), this.asSetUpTo(x)),
      ends = [plate, holds].filter((e) => e !== null);
    const above = ends.filter((e) => compare(x.static, e) > 0),
      end = plate ?? holds;
    const word = above.length
      ? "high"
      : end === null
        ? "not known"
        : compare(x.static, times(this.v(this.rules.lowStatic), end)) < 0
          ? "low"
          : "usual";
    return { plate, holds, ends, above, word };
  }
  danger(what, x, value, limit, whose, words) {
    const { level, stop, first, do: next, order } = this.rules.danger[what];
    const far = minus(value, limit),
      apart = far.n < 0 ? minus(ZERO, far) : far;
    const shown = {
      value: words(value),
      over: words(apart),
      under: words(apart),
      limit: words(limit, true),
      whose,
      hurts: this.hurts(what, x),
    };
    const said = first.replace(/[[\]]/g, "").replace(/\{(\w+)\}/g, (_, n) => shown[n]);
    const text = `${level}, ${x.title}: ${said}`.replace("w.c..", "w.c.");
    return { what, text, level, stop, steps: next[x.fuel ?? ""], order, c: x.c, s: x.s };
  }
  hurts(what, x) {
    if (what === "rise over") return x.fuel ? "can overheat the heat exchanger" : "can overheat the heater";
    if (x.fuel) return "flue gas can condense in the heat exchanger or the vent";
    return "cool air at the registers";
  }
  outside(x) {
    // what is over or under plate or chart at any time
    const out = [],
      unit = this.table.units[1],
      pressure = this.m.pressure;
    const exact = (v, n) => {
      const text = figure(v, n);
      return n > 1 && text.includes(".") ? text.replace(/0+$/, "").replace(/\.$/, "") : text;
    };
    const fixed = (v, n) => {
      const text = figure(v, n);
      return n === 1 && !text.includes(".") ? `${text}.0` : text;
    };
    const degrees = (v, limit) => `${limit ? exact(v, 2) : fixed(v, 1)} ${unit}`,
      warmth = (v, limit) => `${limit ? exact(v, 2) : figure(v, 0)} ${unit}`,
      heat = (v, limit) => `${limit ? exact(v, 2) : figure(v, 0)} Btu/h`,
      inches = (v, limit) => `${limit ? exact(v, 2) : figure(v, pressure === "in. w.c." ? 2 : 0)} ${pressure}`;
    if (x.rise && x.call.role === "heat") {
      const steady = x.minutes !== null && compare(x.minutes, whole(x.fuel ? 10 : 5)) >= 0;
      if (x.high && compare(x.rise, x.high) > 0)
        out.push(this.danger("rise over", x, x.rise, x.high, x.whoseHigh, degrees));
      else if (x.low && x.rise.n > 0 && compare(x.rise, x.low) < 0 && steady)
        out.push(this.danger("rise under", x, x.rise, x.low, x.whoseLow, degrees));
    }
    if (x.outlet && x.supply && x.call.warm && compare(x.supply, x.outlet) > 0)
      out.push(this.danger("outlet over", x, x.supply, x.outlet, "the plate's", warmth));
    if (x.clocked && x.input) {
      const room = times(x.input, plus(ONE, over(this.v(this.rules.meter), HUNDRED)));
      if (compare(x.clocked, room) > 0) out.push(this.danger("input over", x, x.clocked, x.input, "the plate's", heat));
    }
    const read = x.static ? this.pressure(x) : null; // on the ramp it only rises
    if (read && read.above.length) {
      const end = least(...read.above),
        whose = read.plate && same(end, read.plate) ? "the plate's" : "what the chart holds up to,";
      out.push(this.danger("static over", x, x.static, end, whose, inches));
    }
    return out;
  }
  through(x) {
    // the airflow at which static comes to its end in these ducts
    const at = x.flow ? x.flow.air : x.selected;
    if (!x.pressure || !x.pressure.ends.length || !at || !x.static.n) return null;
    return times(at, root(over(least(...x.pressure.ends), x.static)));
  }
  allowed(x) {
    // the ends of plate and tons, without static; a fire that has to be put right is judged at the plate's
    x.burned = Boolean(x.fire) && (!x.clocked || x.warmCounts);
    const made = x.burned && x.share ? times(x.fire, x.share) : null,
      plate = x.st.heat,
      known = plate !== null && isFigure(plate) && plate.n > 0,
      room = this.rules.fire.map((share) => this.v(share));
    const off = known && made && (compare(made, times(plate, room[0])) < 0 || compare(made, times(plate, room[1])) > 0);
    const heat = made && !off ? made : plate,
      lows = [],
      highs = [];
    const told = heat !== null && isFigure(heat) && heat.n > 0 && x.fuel !== "oil"; // a nozzle is what is fitted
    const warm = told ? (rise) => over(heat, times(this.engine.factor, rise)) : null;
    if (warm) {
      const outlet = x.outlet && x.call.warm ? minus(x.outlet, this.v(this.m.cooler)) : null,
        high = least(x.call.role === "heat" ? x.high : null, outlet);
      if (high && high.n > 0) lows.push(warm(high));
      if (x.call.role === "heat" && x.low && x.low.n > 0) highs.push(warm(x.low));
    }
    const tons = this.engine.running(x.c, x.s),
      [floor, top] = x.call.perTon;
    if (tons && floor) lows.push(times(tons, this.v(floor)));
    if (tons && top) highs.push(times(tons, this.v(top)));
    return [lows.length ? lows.reduce(most) : null, least(...highs, null)];
  }
  standing(x, low, high) {
    if (x.byChart) {
      if (!low && !high) return null;
      return low && compare(x.selected, low) < 0 ? "below" : high && compare(x.selected, high) > 0 ? "above" : "inside";
    }
    if (!x.flow || (!low && !high)) return null;
    const under = (a, b) => b !== null && compare(a, b) < 0,
      above = (a, b) => b !== null && compare(a, b) > 0;
    if (low && high && compare(low, high) > 0) return above(x.floor, high) ? "above" : "below";
    if (!under(x.floor, low) && !above(x.top, high)) return "inside";
    if (under(x.top, low)) return "below";
    if (above(x.floor, high)) return "above";
    return under(x.flow.air, low) ? "likely below" : above(x.flow.air, high) ? "likely above" : "likely inside";
  }
  judge(x) {
    const { rules, ceiling } = this,
      { pressure } = x,
      plate = Boolean(x.flow && x.flow.plate);
    const against =
      !x.flow || !x.selected
        ? "not known"
        : compare(x.selected, x.top) > 0
          ? "low"
          : compare(x.selected, x.floor) < 0
            ? "high"
            : "as selected";
    x.against = plate && ["low", "high"].includes(against) ? `unclocked ${against}` : against;
    x.byChart = !x.flow && !x.iced && Boolean(pressure) && x.selected !== null && x.call.prints;
    const [low, high] = this.allowed(x),
      otherwise = this.standing(x, low, high);
    x.lowest = low;
    x.highest = least(high, ceiling);
    x.standing = otherwise;
    const first = ceiling && (!high || compare(ceiling, high) < 0);
    if (first && (["inside", "likely inside"].includes(otherwise) || (!low && !high))) {
      const under = this.standing(x, null, ceiling);
      x.standing = otherwise === null || under !== "inside" ? under : otherwise;
    }
    x.byStatic = x.standing !== otherwise && ["above", "likely above"].includes(x.standing);
    const also = new Set();
    if (x.heats && x.warmCounts && x.rise) {
      if (x.high && compare(x.rise, x.high) > 0) also.add("rise high");
      else if (x.low && compare(x.rise, x.low) < 0) also.add("rise low");
    }
    if (x.burned && x.input) {
      const off = minus(over(x.fire, x.input), ONE),
        band = this.v(rules.fired);
      if (compare(off, band) > 0) also.add("rise high").add("over-fired");
      else if (compare(off, minus(ZERO, band)) < 0) also.add("rise low").add("under-fired");
    }
    if (plate && x.against === "as selected" && (also.has("rise high") || also.has("rise low")))
      x.against = also.has("rise high") ? "unclocked low" : "unclocked high";
    x.also = also;
    const warm = also.has("rise high") || also.has("rise low"),
      word = pressure ? pressure.word : "not known";
    x.off = x.flow && x.selected && x.selected.n ? over(minus(x.flow.air, x.selected), x.selected) : null;
    const size = x.off && (x.off.n < 0 ? minus(ZERO, x.off) : x.off);
    x.slight =
      ["low", "high"].includes(x.against) &&
      PASSING.includes(otherwise) &&
      !warm &&
      word !== "high" &&
      size &&
      compare(size, this.v(rules.slight)) <= 0;
    x.rows = x.slight
      ? []
      : rules.rows
          .filter(
            (r) =>
              r.is.includes(x.against) &&
              (!r.blower || r.blower === this.m.blower) &&
              (!r.static.length || word === "not known" || r.static.includes(word)) &&
              (!r.also || also.has(r.also)),
          )
          .slice(0, 2);
    x.asks = word === "not known" && x.rows.some((r) => r.static.length) ? (pressure ? "plate static" : "static") : "";
  }
  stands(x) {
    // where it stands, with the limit that its band reaches over where that is too close to call
    if (x.over && PASSING.includes(x.standing)) return this.rules.over;
    const said = this.rules.stands[x.standing];
    if (!x.standing.startsWith("likely")) return said;
    const near = [
      ["minimum", x.lowest],
      ["maximum", x.highest],
    ].filter(([, end]) => end && compare(x.floor, end) < 0 && compare(end, x.top) < 0);
    const ends = near.map(([name, end]) => `${name} of ${this.air(end)}`).join(" and ");
    return near.length ? this.rules.standsAt[x.standing].replace("{ends}", ends) : said;
  }
  air(x) {
    return this.page.air(x, 0);
  }
  said(x) {
    // the verdict's word and sentence
    const side = ["below", "likely below"].includes(x.standing) ? "LOW" : "HIGH",
      outside = ["below", "above"].includes(x.standing);
    if (x.iced) return { word: "No verdict", text: "the coil is iced" };
    if (x.byChart) {
      const where = x.standing === null ? "" : `, ${this.stands(x)}`;
      return {
        word: PASSING.slice(0, 2).includes(x.standing) ? "OK" : side,
        text: `by the chart at the static measured, not measured itself${where}`,
      };
    }
    if (!x.flow) return { word: "No verdict", text: x.problems ? "no usable reading" : "the airflow was not measured" };
    if (x.against === "not known") {
      const { k, w } = x.st.air;
      return { word: "No verdict", text: `as set, ${WORDS[k]}${w ? ` (${w})` : ""}` };
    }
    if (x.against.startsWith("unclocked") || (x.flow.plate && outside)) {
      const under = x.lowest && compare(x.flow.air, x.lowest) < 0 ? `; minimum ${this.air(x.lowest)}` : "";
      const at = this.air(x.flow.air);
      const what = ["gas", "fuel"].includes(x.fuel) ? "clocked" : "measured";
      return {
        word: "No verdict",
        text: `the input is not ${what}; at the plate's input ${at}, +/-${figure(x.flow.band)} %${under}`,
      };
    }
    const { pressure } = x,
      past = pressure && pressure.holds && pressure.above.some((e) => same(e, pressure.holds));
    if (past) {
      const digits = figure(pressure.holds, 3),
        end = `${digits.includes(".") ? digits.replace(/\.?0+$/, "") : digits} ${this.m.pressure}`;
      const said = this.rules.pastChart.replace("{end}", end);
      return side === "LOW"
        ? { word: side, text: `${this.stands(x)}; ${said}` }
        : { word: "No verdict", text: said };
    }
    if (x.against !== "as selected") {
      return {
        word: x.slight ? "OK" : x.against === "low" ? "LOW" : "HIGH",
        text:
          this.offSetting(x) +
          (x.byStatic ? this.rules.lessStill : x.standing === null ? "" : `, ${this.stands(x)}`),
      };
    }
    if (x.byStatic) return { word: "OK", text: "as set, but more than the static allows" };
    if (outside || ["likely below", "likely above"].includes(x.standing))
      return { word: side, text: `as set, ${this.stands(x)}` };
    if (x.over) return { word: "No verdict", text: this.rules.afterDanger };
    let limits = x.standing === null ? ", no limits known" : ", within limits";
    if (x.pressure && x.pressure.above.length) limits = ", static over the plate's";
    const how =
      { gas: "clock the meter", fuel: "clock the meter", oil: "read nozzle and pump" }[x.fuel] || "read volts and amps";
    return {
      word: "OK",
      text: `as set${limits}${x.flow.plate ? ` at the plate's input, +/-15 %: ${how} to be sure` : ""}`,
    };
  }
  offSetting(x) {
    const size = x.off.n < 0 ? minus(ZERO, x.off) : x.off,
      text = figure(times(size, HUNDRED), 1);
    const points = text.includes(".") ? text : `${text}.0`;
    return `${points} % ${x.off.n < 0 ? "below" : "above"} the setting of ${this.air(x.selected)}`;
  }
  reason(x) {
    const above = Boolean(x.pressure && x.pressure.above.length);
    if (x.iced) return "iced";
    if (x.byChart) return this.asSelected(x, above);
    if (!x.flow) return above ? "restriction first" : "measure the airflow";
    if (x.against === "not known") return above ? "restriction first" : "marks not read";
    if (x.slight) return "slight";
    if (x.against !== "as selected") {
      const unclocked = x.against.startsWith("unclocked");
      x.row = unclocked ? "clock it" : x.rows.length ? x.rows[0].then : "measure again";
      if (unclocked) x.asks = "";
      x.fired = x.also.has("over-fired");
      x.most = above && !unclocked ? this.through({ ...x, pressure: { ...x.pressure, ends: x.pressure.above } }) : null;
      if (x.most && x.lowest && compare(x.most, x.lowest) < 0) return "no setting by row";
      return x.rows.length || unclocked ? "row" : "read again";
    }
    x.asks = "";
    if (x.also.has("rise high") || x.also.has("rise low")) return "input known";
    return this.asSelected(x, above);
  }
  asSelected(x, above) {
    x.asks = "";
    if (x.byStatic) return "at a price";
    if (["likely below", "likely above"].includes(x.standing)) return "narrower method";
    if (PASSING.includes(x.standing)) {
      if (x.over) return "danger first";
      if (above) return "at a price";
      if (this.page.different().length) return "other equipment";
      return x.standing === null ? "nothing to hold it to" : x.byChart ? "record by chart" : "record";
    }
    if (this.stop) return "danger first";
    return x.standing === "below" && above ? "static in the way" : "moves";
  }
  steps(x) {
    const reason = this.reason(x),
      { rules } = this,
      out = [];
    x.reason = reason;
    const clock = rules.clock[{ oil: "oil", "": "electric", "hot water": "water" }[x.fuel ?? ""] || "gas"];
    const low = x.lowest && x.flow && compare(x.floor, x.lowest) >= 0;
    const lower = x.row !== "lower the ask" || (low && !x.over && !x.also.has("rise high") && !this.stop);
    const sentences = (text) => text.split(". ").map((part) => `${part.replace(/\.$/, "")}.`);
    const plate = Boolean(x.flow && x.flow.plate);
    const looked = ["row", "no setting by row"].includes(reason) ? x.row !== "clock it" : reason === "danger first";
    if (plate && (reason === "record" || (x.over && looked)))
      out.push(`${clock}: the heat was not measured.`);
    if (x.asks === "static") out.push("Measure the external static in this call: it settles what to look at.");
    else if (x.asks) out.push("Type the plate's static (site: plate static): it settles what to look at.");
    if (reason === "row" || reason === "no setting by row")
      out.push(...sentences(rules.next[x.row].replace("{clock}", clock)).slice(0, lower ? 9 : 2));
    else if (reason === "slight") out.push(`Record it: ${this.offSetting(x)}, too little to seek a cause.`);
    else if (reason === "other equipment") out.push(...this.page.different(), "Measure again.");
    else if (reason === "moves") out.push("Look in Target for a setting that brings it inside.");
    else out.push(...sentences(rules.do[reason]));
    if (x.most) out.push(`At the end of the static these ducts pass ${this.air(x.most)}.`);
    if (reason === "no setting by row")
      out.push(
        `${x.row === "lower the ask" ? "If it stays so, no" : "No"} setting will do it: that is below the minimum. ` +
          "Duct work, or smaller equipment.",
      );
    if (x.fired) out.push("It is over-fired too: put the input right (licensed work).");
    return out;
  }
}
