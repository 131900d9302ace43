// Readings typed beside each call, what they say, and the record to hand on.
const USUAL_GAS = "1037";

const ELSEWHERE = ["static over", "input over"]; // said at their own boxes

class Measure {
  constructor(page) {
    Object.assign(this, { page, table: page.table, rows: new Map() });
    this.verdict = el("div");
    const top = el("div", { class: "read top" }, ...["call", "set", "measured"].map((x) => el("span", {}, x)));
    const rows = this.table.calls.flatMap((call, c) => call.stages.map((stage, s) => this.row(call, stage, c, s)));
    const rest = [this.static(), this.meter(), this.times()];
    this.form = el("div", { class: "reads" }, this.dangers(), this.verdict, top, rows, rest);
    this.out = el("div");
    const acts = [
      button("Send the record", () => this.send(), { class: "act" }),
      button("QR", () => this.squares(), { class: "act least" }),
    ];
    this.answers = el("div", {}, el("div", { class: "do" }, acts), this.out);
  }
  dangers() {
    // what was seen that can hurt: said before every other word, on every part of the page
    this.seen = new Set();
    this.boxes = new Map(
      this.table.measure.seen.map(([what, words]) => {
        const put = () => this.sight(what, !this.seen.has(what));
        return [what, button(words, put, { class: "seen", "aria-pressed": "false" })];
      }),
    );
    const title = el("summary", {}, "Seen: gas, CO, flame, limit ...");
    return (this.look = el("details", { class: "notes" }, title, ...this.boxes.values()));
  }
  sight(what, there) {
    if (there) this.seen.add(what);
    else this.seen.delete(what);
    this.boxes.get(what).setAttribute("aria-pressed", String(there));
    this.look.open = false;
    this.out.replaceChildren();
    this.page.alarmed();
  }
  input(label, typed, props = {}) {
    return el("input", {
      inputmode: "decimal",
      autocomplete: "off",
      "aria-label": label,
      placeholder: " ",
      oninput: (e) => this.typed(typed, e),
      ...props,
    });
  }
  typed(put, e) {
    put(e.target.value.trim());
    this.out.replaceChildren();
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.show(), 120);
  }
  box(input, beside) {
    return el("span", { class: "reading" }, input, beside);
  }
  row(call, stage, c, s) {
    const title = titled({ call: call.n, stage }),
      kinds = [...(call.heats ? ["rise"] : []), ...Object.keys(this.page.rules.methods)];
    const row = { c, s, title, kind: kinds[0], text: "", minutes: "", node: el("div", { class: "read" }) };
    row.second = el("small", {}, call.terminals[s]);
    row.set = el("span", { class: "gives" });
    row.low = this.input(
      `${title}, measured`,
      (x) => {
        row.text = x;
      },
      { inputmode: call.heats ? "text" : "decimal" },
    );
    const change = (e) => {
      row.kind = kinds[e.target.selectedIndex];
      this.show();
    };
    const select = el(
      "select",
      { "aria-label": `${title}, how it was measured`, onchange: change },
      kinds.map((k) => el("option", {}, k)),
    );
    row.node.append(el("span", { class: "name" }, title, row.second), row.set, this.box(row.low, select));
    row.terminals = call.terminals[s];
    this.rows.set(`${c} ${s}`, row);
    return row.node;
  }
  static() {
    // static, and the call it was read in
    this.pressure = { text: "", at: "" };
    const keys = [...this.rows.keys()];
    const change = (e) => {
      this.pressure.at = keys[e.target.selectedIndex];
      this.show();
    };
    const select = el(
      "select",
      { "aria-label": "static pressure, the call it was read in", onchange: change },
      keys.map((k) => el("option", {}, this.rows.get(k).title)),
    );
    this.pressed = () => {
      select.selectedIndex = keys.indexOf(this.staticAt());
    };
    const input = this.input("static pressure", (x) => {
      this.pressure.text = x;
    });
    this.plate = el("span", { class: "gives" });
    const name = el("span", { class: "name" }, "static in", select);
    return el(
      "div",
      { class: "read" },
      name,
      this.plate,
      this.box(input, el("span", { class: "unit" }, this.table.measure.pressure)),
    );
  }
  staticAt() {
    // the call chosen, else the one being measured
    const keys = [...this.rows.keys()],
      calls = this.page.engine.evaluate(this.page.setting);
    const running = (k) => {
      const { c, s } = this.rows.get(k);
      return this.table.calls[c].compressor && !isNo(calls[c][s].air);
    };
    return this.pressure.at || keys.find((k) => this.rows.get(k).text) || keys.findLast(running) || keys.at(-1);
  }
  meter() {
    // the gas meter, where gas burns
    const m = this.table.measure.calls,
      burns = [...this.rows.keys()].filter((k) => {
        const { c } = this.rows.get(k);
        return this.table.calls[c].heats && ["gas", "fuel"].includes(m[c].fuel);
      });
    this.clock = { volume: "2", time: "", gas: USUAL_GAS, at: burns.length === 1 ? burns[0] : "", burns };
    if (!burns.length || this.table.units[1] !== "F") return null;
    const put = (key) => (x) => {
      this.clock[key] = x;
    };
    const volume = this.input("gas meter, cubic feet", put("volume"), { value: "2", class: "brief" }),
      gas = this.input("heat of the gas, Btu for each cubic foot", put("gas"), { value: USUAL_GAS, class: "brief" }),
      time = this.input("gas meter, seconds", put("time"));
    const by = el("span", { class: "meter" }, volume, "ft\u00b3 ", gas, "Btu"),
      change = (e) => {
        this.clock.at = burns[e.target.selectedIndex - 1] ?? "";
        this.show();
      },
      titles = ["stage?", ...burns.map((k) => this.rows.get(k).title)],
      props = { "aria-label": "gas meter, the stage it was read in", onchange: change },
      select = burns.length > 1 ? el("select", props, titles.map((t) => el("option", {}, t))) : null,
      name = el("span", { class: "name" }, "gas meter, others off", ...(select ? [select] : []), by);
    const box = this.box(time, el("span", { class: "unit" }, "s"));
    return (this.fired = el("div", { class: "read" }, name, el("span"), box));
  }
  times() {
    // the minutes since each call began, asked of those that were read
    return [...this.rows.values()].map((row) => {
      const put = (x) => {
          row.minutes = x;
        },
        input = this.input(`${row.title}, minutes since the call began`, put),
        name = el("span", { class: "name" }, "minutes in", el("small", {}, row.title));
      row.time = el("div", { class: "read" }, name, el("span"), this.box(input, el("span", { class: "unit" }, "min")));
      row.time.style.display = "none";
      return row.time;
    });
  }
  readings() {
    // what was typed, as figures in the table's units, and as it is handed on
    const out = new Map(),
      wrong = [],
      { page } = this,
      degrees = this.table.units[1];
    const both = `the rise, or return and supply air: 70 125 (${degrees})`;
    const at = (key) => {
      const { c, s, minutes } = this.rows.get(key);
      if (!out.has(key)) {
        const call = this.table.calls[c];
        out.set(key, {
          c,
          s,
          title: { call: call.n, stage: call.stages[s] },
          kind: "",
          figure: null,
          supply: null,
          back: null,
          static: null,
          clock: null,
          minutes: minutes ? decimal(minutes) : null,
          text: { minutes },
        });
      }
      return out.get(key);
    };
    for (const [key, row] of this.rows) {
      row.low.removeAttribute("aria-invalid");
      if (!row.text) continue;
      const [a, b, more] = row.text.split(/\s+/).map(decimal);
      const bad =
        a === null ||
        b === null ||
        more !== undefined ||
        (b && row.kind !== "rise") ||
        compare(a, ZERO) <= 0 ||
        (b && compare(b, a) <= 0);
      if (bad) {
        row.low.setAttribute("aria-invalid", "true");
        wrong.push(`${row.title}: type ${row.kind === "rise" ? both : "a figure above 0"}`);
        continue;
      }
      const r = at(key),
        [first, second] = row.text.split(/\s+/);
      r.kind = row.kind;
      if (row.kind === "rise") {
        Object.assign(r, b ? { figure: minus(b, a), back: a, supply: b } : { figure: a });
        Object.assign(
          r.text,
          b
            ? { figure: "", back: `${first} ${degrees}`, supply: `${second} ${degrees}` }
            : { figure: `${first} ${degrees}` },
        );
      } else {
        r.figure = over(a, page.scale());
        r.text.figure = `${first} ${page.unit}`;
      }
    }
    const pressure = this.pressure.text ? decimal(this.pressure.text) : null;
    if (this.pressure.text && (pressure === null || compare(pressure, ZERO) <= 0))
      wrong.push("static: type a figure above 0");
    else if (pressure) {
      const r = at(this.staticAt());
      r.static = pressure;
      r.text.static = `${this.pressure.text} ${this.table.measure.pressure}`;
    }
    const { volume, time, gas } = this.clock,
      clock = [volume, time, gas].map(decimal);
    if (time && clock.some((x) => x === null || compare(x, ZERO) <= 0))
      wrong.push("gas meter: type cubic feet, Btu for each, and seconds");
    else if (time && !this.clock.at) wrong.push("gas meter: choose the stage it was read in");
    else if (time) {
      const r = at(this.clock.at);
      r.clock = { volume: clock[0], time: clock[1], gas: clock[2] };
      r.kind = r.kind || "rise";
      r.text.clock = { volume, time, gas };
    }
    return [[...out.values()], wrong];
  }
  judged() {
    const [readings, wrong] = this.readings();
    return { readings, wrong, found: readings.length && !wrong.length ? new Verifier(this.page, readings) : null };
  }
  show() {
    const { page } = this,
      { wrong, found } = this.judged(),
      calls = page.engine.evaluate(page.setting);
    for (const [, row] of this.rows) {
      const s = calls[row.c][row.s];
      row.set.classList.toggle("no", isNo(s.air));
      row.set.textContent = isNo(s.air) ? shortNo(s.air.k) : page.whole(s.air);
      const x = found?.states.find((one) => one.c === row.c && one.s === row.s),
        bad = found && found.dangers.some((d) => d.c === row.c && d.s === row.s && !ELSEWHERE.includes(d.what));
      row.time.style.display = row.text || x ? "" : "none";
      row.second.textContent = x ? this.brief(x) : row.terminals;
      row.node.classList.toggle("bad", Boolean(bad));
    }
    const plate = page.engine.value(this.table.measure.models[page.model].static ?? null);
    this.fired?.classList.toggle("bad", Boolean(found?.dangers.some((d) => d.what === "input over")));
    this.pressed();
    this.plate.textContent = plate ? `plate ${figure(plate, 2).replace(/0$/, "")}` : "";
    this.said(wrong, found);
    page.fit();
  }
  brief(x) {
    // the verdict in a few words beside its reading
    if (!x.flow || !x.off) return x.word.toLowerCase();
    if (x.word === "OK") return "as set";
    const points = figure(times(x.off.n < 0 ? minus(ZERO, x.off) : x.off, HUNDRED), 0);
    const far = points === "0" || x.word === "No verdict" ? "" : `${points} % ${x.off.n < 0 ? "low" : "high"}`;
    return [x.rise ? `reads ${this.page.whole(x.flow.air)}` : "", far].filter((w) => w).join(", ");
  }
  said(wrong, found) {
    if (wrong.length || !found) {
      const words = wrong.length ? wrong : ["Type a reading beside its call: filter in, panels on, the call steady."];
      this.verdict.replaceChildren(...words.map((w) => el("p", { class: "told" }, w)));
      return;
    }
    const dangers = found.dangers.filter((d) => !d.seen).map((d) => {
      const [, head, what, hurts] = /^([^:]*): (.*?)(?:: (.*))?$/.exec(d.text);
      return el(
        "div",
        { class: "verdict reverse" },
        el("b", {}, capital(what)),
        el("p", {}, hurts ? `${head}: ${hurts}` : head),
      );
    });
    const heatOff = found.dangers.some((d) => d.level === "DANGER" && d.what !== "rise over"),
      acts = found.dangers.filter((d) => !d.seen && (d.what !== "rise over" || !heatOff));
    const steps = [...new Set(acts.flatMap((d) => d.steps))];
    if (found.stop && !found.dangers.some((d) => d.seen)) steps.push(this.page.rules.stays);
    const told = (x) => [
      el("p", { class: "told" }, el("b", {}, `${x.word}, ${x.title}`), `: ${x.text}.${x.wait}`),
      ...this.page.assumed([x.st]).map((said) => el("p", { class: "pad small" }, said)),
      this.numbered(x.steps),
    ];
    const states = [...found.states].sort((a, b) => (a.word === "OK") - (b.word === "OK"));
    const first = dangers.length ? [] : states.splice(0, 1),
      title = states.map((x) => `${x.word}, ${x.title}`).join("; ");
    const rest = states.length ? el("details", { class: "notes" }, el("summary", {}, title), states.map(told)) : null;
    this.verdict.replaceChildren(...shown([dangers, this.numbered(steps), first.map(told), rest]));
    const worst = found.dangers.filter((d) => !d.seen).map((d) => d.text);
    this.page.speak((worst.length ? worst : found.states.map((x) => `${x.word}, ${x.title}`)).join("; "));
  }
  numbered(steps) {
    return steps.length ? list(steps, "ol", { class: "steps" }) : null;
  }
  record() {
    const { readings, wrong } = this.judged();
    return wrong.length ? "" : jobText(this.page, readings);
  }
  async send() {
    const text = this.record();
    if (!text) return;
    if (navigator.share) {
      try {
        await navigator.share({ text });
        return;
      } catch {
        /* shown below instead */
      }
    }
    const area = el("textarea", { readonly: true, rows: 8, "aria-label": "the record, a job file" });
    area.value = text;
    this.out.replaceChildren(el("p", { class: "pad small" }, "Copy this text; `selector verify` reads it."), area);
    area.select();
    try {
      await navigator.clipboard.writeText(text);
      this.out.firstChild.textContent = "Copied. `selector verify` reads it.";
    } catch {
      /* selected, to be copied by hand */
    }
  }
  squares() {
    const text = this.record(),
      grid = text ? squares(text) : null;
    if (!grid) {
      this.out.replaceChildren(
        el("p", { class: "told" }, text ? "Too long for a code: send the text." : "Put right what is typed first."),
      );
      return;
    }
    const side = grid.length + 8,
      path = grid.flatMap((row, y) => row.map((dark, x) => (dark ? `M${x + 4} ${y + 4}h1v1h-1z` : ""))).join("");
    const svg = drawing(`<path fill="#fff" d="M0 0h${side}v${side}H0z"/><path fill="#000" d="${path}"/>`, side, side);
    svg.setAttribute("class", "squares");
    svg.setAttribute("role", "img");
    svg.setAttribute("aria-label", "the record as a code");
    this.out.replaceChildren(svg);
    svg.scrollIntoView({ block: "center" });
  }
}

// A card's code put back on the board: pasted, or read off a picture where the browser can.
function codeReader(page) {
  const told = el("p", { role: "status", class: "small" });
  const use = (code) => {
    const found = readCode(page, code);
    if (typeof found === "string") told.textContent = plain(found);
    else {
      page.show(found.number, found.kept);
      page.say(`Read from the card.${found.other.length ? ` Not on this page: ${found.other.join("; ")}.` : ""}`);
    }
  };
  const area = el("textarea", { rows: 3, "aria-label": "code of a card" });
  const picture = async (e) => {
    try {
      const [code] = await new BarcodeDetector({ formats: ["qr_code"] }).detect(
        await createImageBitmap(e.target.files[0]),
      );
      if (code) use(code.rawValue);
      else told.textContent = "No code found in this picture.";
    } catch {
      told.textContent = "This browser can't read pictures: paste the code.";
    }
  };
  const camera =
    "BarcodeDetector" in globalThis
      ? el(
          "label",
          { class: "file" },
          "Photograph it ",
          el("input", { type: "file", accept: "image/*", capture: "environment", onchange: picture }),
        )
      : null;
  return el(
    "details",
    { class: "notes" },
    el("summary", {}, "Paste a card's code"),
    el(
      "div",
      { class: "pad" },
      area,
      el(
        "div",
        { class: "row" },
        button("Use this code", () => use(area.value), { class: "plain" }),
        camera,
      ),
      told,
    ),
  );
}
