// What every call of the board does, and how it is said.
const WORDS = ["does not run", "not usable", "outside the chart", "unreadable", "not known"];
const shortNo = (k) => (k >= UNREADABLE ? "?" : WORDS[k]);
const ONE_LINE = 6,
  SPOKEN = 3;
const plain = (words) => words.replace(/`/g, "").replace(/\bthe page\b/g, "the manual");
// [of what, name] pairs: of what -> its names, each once
function gathered(pairs) {
  const by = new Map();
  for (const [what, name] of pairs) (by.get(what) || by.set(what, new Set()).get(what)).add(name);
  return [...by].map(([what, names]) => [what, [...names]]);
}
const orEach = (words) => words.flatMap((w, n) => (n ? ["or", w] : [w]));
const natural = new Intl.Collator(undefined, { numeric: true }).compare;

class Calls extends Facts {
  scale() {
    return this.engine.value(this.table.airflow[this.unit]);
  }
  whole(x) {
    return figure(times(x, this.scale()), 0);
  }
  air(x, places = 1) {
    return `${figure(times(x, this.scale()), places)} ${this.unit}`;
  }
  no(x) {
    return x.w ? `${WORDS[x.k]}: ${plain(x.w)}` : WORDS[x.k];
  }
  airOrNo(x) {
    return isNo(x) ? this.no(x) : this.air(x, 0);
  }
  degrees(x) {
    return `${figure(x)} ${this.table.units[1]}`;
  }
  pressure(x) {
    return `${figure(x, 2).replace(/\.?0+$/, "")} ${this.table.measure.pressure}`;
  }
  limit(j) {
    const show = (x) =>
      j.quantity === "airflow"
        ? this.air(x)
        : j.quantity === "airflow per ton"
          ? `${this.air(x)} per ton`
          : j.quantity === "static pressure"
            ? this.pressure(x)
            : j.quantity === "heat input"
              ? `${figure(x)} Btu/h`
              : this.degrees(x);
    const allowed =
      j.low && j.high
        ? `${show(j.low)} to ${show(j.high)}`
        : j.low
          ? `minimum ${show(j.low)}`
          : j.high
            ? `maximum ${show(j.high)}`
            : "as the manual says";
    const fire = j.rate ? ` at ${figure(j.rate)} % fire` : "";
    const value = j.value ? `${this.known(j)}${show(j.value)}${fire}, ` : "";
    return `${j.quantity} ${value}allowed ${allowed} (${plain(j.source)})`;
  }
  known(j) {
    // where what isn't known may put it further outside
    return !j.atLeast ? "" : j.low && compare(j.value, j.low) < 0 ? "at most " : "at least ";
  }
  short(j) {
    // "rise 68, limit 65", with the decimals that show it
    const scaled = (x) => (j.quantity.startsWith("airflow") ? times(x, this.scale()) : x);
    const below = j.low && j.value && compare(j.value, j.low) < 0,
      end = below ? j.low : j.high || j.low;
    if (!j.value || !end) return j.quantity;
    let n = 0;
    while (n < 2 && figure(scaled(j.value), n) === figure(scaled(end), n)) n++;
    const [shown, e] = [scaled(j.value), scaled(end)].map((x) => figure(x, n)),
      v = this.known(j) + shown,
      side = below ? "minimum" : "maximum";
    if (j.quantity === "temperature rise") return `rise ${v}, ${below ? "minimum" : "limit"} ${e}`;
    if (j.quantity === "airflow per ton") return `${v} a ton, ${side} ${e}`;
    return j.quantity === "airflow" ? `${side} ${e}` : `${j.quantity} ${v}, ${side} ${e}`;
  }
  beside(s) {
    return [
      s.rate ? `at ${figure(s.rate)} % fire` : "",
      s.rise ? `rise ${figure(s.rise, 0)}` : "",
      s.perTon ? `${this.whole(s.perTon)} a ton` : "",
    ]
      .filter((x) => x)
      .join(", ");
  }
  name(p, at) {
    const half = (this.half.get(p) || []).map((i) => word(this.table, p, i)).join(" or ");
    return `${this.table.parts[p].n} ${at === null ? half || "not known" : word(this.table, p, at)}`;
  }
  which(pairs) {
    if (!pairs || !pairs.length) return "";
    return ` (${this.table.parts[pairs[0][0]].n} ${pairs.map(([p, i]) => word(this.table, p, i)).join(" or ")})`;
  }
  said1(x) {
    if (isNo(x)) return this.no(x);
    const { ramps } = this.table;
    return x.s !== undefined ? `${x.s}${Object.hasOwn(ramps, x.s) ? ` (${ramps[x.s]})` : ""}` : `${figure(x)} s`;
  }
  warned() {
    return [...this.wrong, ...this.engine.beyond].map((w) => el("p", { class: "told" }, plain(w)));
  }
  drawCalls() {
    const { engine, setting } = this,
      calls = engine.evaluate(
        setting,
        setting.every((at, p) => at === null && !this.half.has(p)),
      );
    this.evaluated = calls;
    const half = engine.mayTell(setting).map((d) => {
        const { first } = this.rules.danger[d.what];
        return { ...d, said: first.replace("{what}", d.half).replace("{limit}", d.there) };
      }),
      first = [...half, ...engine.contradictions(setting)],
      danger = this.shared(),
      steps = first.flatMap((d) => (d.what ? this.rules.danger[d.what].do[""] : []));
    fill(this.first, JSON.stringify([first, engine.beyond, danger]), () => [
      ...first
        .filter((d) => d.what)
        .map((d) => el("p", { class: "verdict reverse" }, el("b", {}, this.rules.danger[d.what].level), d.said)),
      steps.length ? list([...new Set(steps)], "ol", { class: "steps" }) : "",
      ...first.filter((d) => !d.what).map((d) => el("p", { class: "told" }, el("b", {}, d.said))),
      ...danger.map((d) => el("p", { class: "verdict reverse" }, el("b", {}, "DANGER"), d)),
      ...engine.beyond.map((d) => el("p", { class: "told" }, plain(d))),
    ]);
    const rows = calls.flatMap((call, c) => call.map((s, i) => this.row(s, c, i)));
    this.wants = new Set(rows.flatMap((r) => r.wants));
    if (this.mode !== "read") return;
    if (this.rows.length !== rows.length) this.calls.replaceChildren(...(this.rows = rows.map(() => el("li"))));
    this.calls.classList.toggle("six", rows.length >= ONE_LINE && !this.wide());
    fill(this.over, this.unit, () => [el("span", {}, "every call, as set"), el("span", {}, this.unit)]);
    rows.forEach((r, n) => {
      fill(this.rows[n], JSON.stringify([r, this.opened.has(n), this.unit]), () => this.rowShown(r, n));
    });
    fill(this.running, JSON.stringify([[...this.on], this.on.size ? calls : 0, this.unit]), () =>
      this.on.size ? this.together(calls) : "",
    );
    this.drawNotes(calls.flat());
    this.now = rows;
  }
  tell() {
    // spoken: what changed, and any limit broken
    if (this.mode !== "read" || !this.now) return;
    const changed = [],
      broken = [];
    for (const r of this.now) {
      const one = `${r.title} ${r.air.join(" ")}${r.broken ? `, ${r.second}` : ""}`;
      if (r.broken && (this.tapped || this.said.get(r.title) !== one)) broken.push(one);
      else if (this.said.get(r.title) !== one) changed.push(one);
      this.said.set(r.title, one);
    }
    const rest = changed.length > SPOKEN ? [`${changed.length} calls changed`] : changed;
    this.speak((this.tapped || "") + [...broken, ...rest].join("; "));
    this.tapped = "";
  }
  speak(words) {
    if (words && this.status.textContent !== words) this.status.textContent = words;
  }
  shared() {
    // leads on one tap
    const { table, setting } = this,
      name = (p) => table.selectors.flatMap((s) => s.lines).find((l) => l.p === p).label;
    const pairs = [...this.engine.clash(setting)].map(([a, b]) => [a, b].sort((x, y) => x - y));
    return [
      ...new Set(
        pairs.map(
          ([a, b]) =>
            `${name(a)} and ${name(b)} share tap ${word(table, a, setting[a])}: one call` +
            " can back-feed the other (line voltage: two taps energized together burn the winding)",
        ),
      ),
    ];
  }
  different() {
    // selectors that are there to tell what is installed, and tell other equipment
    return this.engine.contradictions(this.setting).flatMap((d) => (d.declares ? [d.said] : []));
  }
  row(s, c, i) {
    // what is said of a call's stage
    const { engine, setting, table } = this;
    const out = {
      title: titled(s),
      terminals: table.calls[c].terminals[i],
      air: [],
      kind: "",
      second: "",
      more: [],
      wants: [],
      broken: false,
      link: false,
    };
    const { judged, noes } = s,
      missing = [...s.facts, ...s.depends.map((p) => table.parts[p].n)],
      nothing = setting.every((at, p) => at === null && !this.half.has(p)),
      flows = s.airflows.map((x) => this.whole(x)),
      several = flows.length > 2 ? [flows[0], "to", flows[flows.length - 1]] : orEach(flows),
      words = [...new Set(noes.map((x) => shortNo(x.k)))];
    if (missing.length) {
      const shown = flows.length ? several : orEach(words);
      out.air = nothing || words.includes("?") || !shown.length ? ["?"] : shown;
      const few = missing.slice(0, missing.length > 3 ? 2 : 3).join(", ");
      if (!nothing) out.second = `needs ${few}${missing.length > 3 ? ` and ${missing.length - 2} more` : ""}`;
      if (flows.length > 1)
        out.more.push(s.airflows.map((x) => this.air(x) + this.which(s.which.get(text(x)))).join(" or "));
      out.kind = out.air.length > 1 ? "several" : flows.length ? "" : "no";
    } else if (isNo(s.air)) {
      out.air = s.air.e ? orEach(flows) : [shortNo(s.air.k)];
      out.second = plain(s.air.w).split(";")[0];
      out.kind = s.air.k === RUNS ? "no gray" : s.air.k >= UNREADABLE ? "no" : "no usable";
    } else {
      out.air = [this.whole(s.air)];
      out.second = this.beside(s);
      out.more.push(
        [this.air(s.air), s.rise ? `rise ${this.degrees(s.rise)}` : "", s.perTon ? `${this.air(s.perTon)} per ton` : ""]
          .filter((x) => x)
          .join(", "),
      );
    }
    if (out.air[0] === "?") out.kind = ""; // of one size, whatever it is for want of
    const reasons = [
      ...noes.filter((x) => x.k >= UNREADABLE).map((x) => x.w),
      ...judged.filter((j) => j.ok === null).map((j) => j.why),
    ];
    const facts = [...s.facts, ...judged.flatMap((j) => j.facts)].filter((n) => this.typeable(n));
    out.wants = [...new Set([...facts, ...reasons.map((w) => this.wanted(w)).filter((x) => x)])];
    const depends = (j) => j.state === "depends",
      missed = (j) => j.miss || ZERO,
      broken = judged.filter((j) => j.ok === false).sort((a, b) => -compare(missed(a), missed(b)));
    const shorts = [...new Set(broken.map((j) => this.short(j)))],
      ask = out.wants[0] === "model" ? "choose the model" : `type ${out.wants[0]}`;
    if (shorts.length) {
      out.broken = true;
      out.second = shorts[0] + (shorts.length > 1 ? `, and ${shorts.length - 1} more` : "");
    } else if (out.wants.length) {
      // what is to be typed stands alone where nothing else would settle it
      const own = !isNo(s.air) && out.second ? `${out.second}; ` : "";
      if (nothing && out.wants[0] === "model" && (c || i)) out.second = "";
      else if (!s.depends.length) out.second = own + ask;
      out.link = true;
    }
    for (const j of judged) {
      const on = [...j.depends.map((p) => table.parts[p].n), ...j.facts].join(", ");
      if (j.may) out.more.push(`may be outside, by ${on}: ${this.limit(j)}`);
      else if (!depends(j)) out.more.push(j.ok === null ? `not checked: ${j.source}: ${plain(j.why)}` : this.limit(j));
    }
    engine.plan(c, i).told.forEach((t, n) => {
      const may = possibleWords(engine, t, setting);
      const said = may ? may.map((x) => this.said1(x)).join(" or ") : s.told[n] === null ? "" : this.said1(s.told[n]);
      if (said && said !== "0 s") out.more.push(`${["start-up", "delay", "blower-off delay"][n]}: ${said}`);
    });
    out.more.push(...noes.map((x) => this.no(x)), table.calls[c].note, ...s.notes.map(plain));
    if (s.pages.length) out.more.push(`page ${[...new Set(s.pages)].sort(natural).join(", ")}`);
    out.more = [...new Set(out.more.filter((x) => x))];
    return out;
  }
  rowShown(r, n) {
    const open = this.opened.has(n),
      act = () => {
        if (!this.opened.delete(n)) {
          this.opened.add(n);
          if (r.link) this.jump(r.wants[0]);
        }
        this.answer();
      };
    const small = (x) => (/^\d/.test(x) || r.air.length === 1 ? x : el("small", {}, ` ${x} `));
    const second = el("span", { class: `second ${r.link ? "link" : ""}` }, r.second);
    const beside = r.second ? el("em", { class: r.link ? "link" : "" }, r.second) : "";
    return [
      el(
        "button",
        { type: "button", class: `call ${r.broken ? "reverse" : r.kind}`, "aria-expanded": String(open), onclick: act },
        el("span", { class: "name" }, r.title, r.terminals ? el("small", {}, r.terminals) : "", beside),
        el("span", { class: "air" }, r.air.map(small)),
        second,
      ),
      open
        ? el(
            "div",
            { class: "more" },
            r.more.map((x) => el("p", {}, x)),
          )
        : null,
    ];
  }
  drawNotes(all) {
    const pages = [...new Set(all.flatMap((s) => s.pages))].sort(natural),
      own = this.table.calls.map((c) => c.note && `${c.n}: ${c.note}`),
      notes = [...new Set([this.table.note, ...own, ...all.flatMap((s) => s.notes)])].filter((x) => x);
    const open = all.flatMap((s) => openOf(s).flatMap(([limit, why]) => (limit ? [[s, limit, why]] : [])));
    const heat = this.table.calls.some((c) => c.heats),
      cooling = this.table.calls.some((c) => c.compressor);
    const cautions = this.table.cautions[(heat ? 2 : 0) + (cooling ? 1 : 0)];
    const given = this.table.given.map(([n, v]) => `${n} ${v} (given when this page was made)`);
    const items = [...this.assumed(all), ...this.unjudged(open)];
    const key = [pages, notes, items];
    fill(this.notes, JSON.stringify(key), () =>
      el(
        "details",
        { class: "notes" },
        el(
          "summary",
          {},
          el("span", {}, this.table.reads ? `Board reads its selectors ${this.table.reads}` : "Notes"),
          items.length + notes.length ? el("b", {}, `notes ${items.length + notes.length}`) : "",
        ),
        el(
          "div",
          { class: "pad" },
          list(
            [
              ...items,
              ...notes.map((n) => `Note: ${plain(n)}`),
              ...given,
              pages.length ? `Page${pages.length > 1 ? "s" : ""} of the manual: ${pages.join(", ")}` : "",
            ].filter((x) => x),
          ),
          el("h3", {}, "Before you touch the board"),
          list(cautions, "ul", { class: "cautions" }),
        ),
      ),
    );
  }
  unjudged(items) {
    // one line for each reason
    const by = gathered(items.map(([s, limit, why]) => [why, titled(s) + (limit ? ` (${limit})` : "")]));
    return by.map(([why, names]) => `Not checked: ${names.join("; ")}: ${plain(why)}`);
  }
  assumed(stages) {
    // one line for each fact that nobody gave and that figures rest on all the same
    const by = gathered(stages.flatMap((s) => s.assumed.map((said) => [said, s.call])));
    return by.map(([said, calls]) => `Assumed, ${said} (${listed(calls)})`);
  }
  terminals() {
    const named = this.table.calls.flatMap((c) => c.terminals.flatMap((t) => t.split(" "))),
      words = [...new Set(named)].filter((w) => w && w !== "not");
    if (!words.length) return null;
    const press = (e, w) => {
      if (!this.on.delete(w)) this.on.add(w);
      e.target.setAttribute("aria-pressed", String(this.on.has(w)));
      e.target.classList.toggle("reverse", this.on.has(w));
      this.answer();
    };
    return el(
      "details",
      { class: "notes" },
      el("summary", {}, "What runs when terminals are on"),
      el(
        "div",
        { class: "pad" },
        el(
          "div",
          { class: "row" },
          words.map((w) => button(w, (e) => press(e, w), { "aria-pressed": "false", "aria-label": `terminal ${w}` })),
        ),
        this.running,
      ),
    );
  }
  together(calls) {
    const { stages, air } = energised(this.table, calls, new Set([...this.on].map((w) => w.toLowerCase())));
    if (!stages.length) return el("p", {}, plain(air.w));
    const whole = stages.length > 1 ? el("p", {}, el("b", {}, `Together: ${this.airOrNo(air)}`)) : null;
    return [list(stages.map((s) => `${titled(s)}: ${this.airOrNo(s.air)}`)), whole];
  }
}
