// The targets that a person types.

class Ask extends Ranked {
  constructor(page) {
    super();
    Object.assign(this, {
      page,
      table: page.table,
      rows: new Map(),
      held: new Map(),
      at: 0,
      first: null,
      base: null,
      ton: { text: "", unit: page.unit },
    });
    this.stages = this.table.calls.flatMap((call, c) =>
      call.stages.map((stage, s) => ({
        c,
        s,
        key: `${c} ${s}`,
        call,
        title: titled({ call: call.n, stage }),
        terminals: call.terminals[s],
      })),
    );
    this.answers = el("div", { id: "find" });
    const top = el("div", { class: "aim top" }, ...["call", "target", "gives, off"].map((x) => el("span", {}, x)));
    this.form = el(
      "div",
      { class: "aims" },
      top,
      this.stages.map((x) => this.target(x)),
    );
    this.extra = el(
      "details",
      { class: "notes" },
      el("summary", {}, "More: ranges, weights"),
      el(
        "div",
        { class: "fields" },
        this.stages.flatMap((x) => this.more(x)),
        this.tons(),
      ),
    );
    this.result = el("div", { "aria-live": "polite" });
    this.answers.append(this.result, this.extra);
    this.relabel();
  }
  target({ key, call, title, terminals, c, s }) {
    const row = { from: "", to: "", weight: "", unit: this.page.unit, kind: 0 };
    const shares = this.stages.filter((x) => x.c !== c || x.s !== s);
    row.kinds = [
      { q: "airflow" },
      ...(call.heats ? [{ q: "temperature rise" }] : []),
      ...(call.compressor ? [{ q: "airflow per ton" }, { q: "tons" }] : []),
      ...shares.map((x) => ({ q: "share", of: [x.c, x.s], title: x.title })),
    ];
    row.typed = () => {
      Object.assign(row, { from: row.low.value, to: row.high.value, unit: this.page.unit });
      this.later();
    };
    row.low = el("input", {
      inputmode: "decimal",
      autocomplete: "off",
      placeholder: " ",
      "aria-label": `${title}, target`,
      oninput: row.typed,
    });
    Object.assign(row, {
      second: el("small"),
      gives: el("span", { class: "gives" }),
      off: el("span", { class: "off" }),
      terminals,
    });
    this.rows.set(key, row);
    const name = el("span", { class: "name" }, title, row.second);
    const choose = (e) => {
      row.kind = e.target.selectedIndex;
      this.relabel();
      this.seek();
    };
    row.select = el(
      "select",
      { "aria-label": `${title}, what the figure is`, onchange: choose },
      row.kinds.map(() => el("option")),
    );
    row.short = el("span", { "aria-hidden": "true" });
    const box = el("span", { class: "reading" }, row.low, el("span", { class: "pick" }, row.short, row.select));
    return el("div", { class: "aim" }, name, box, row.gives, row.off);
  }
  more({ key, title }) {
    const row = this.rows.get(key);
    const number = (label, typed) =>
      el("input", { inputmode: "decimal", autocomplete: "off", "aria-label": `${title}, ${label}`, oninput: typed });
    row.high = number("up to", row.typed);
    const weight = number("weight", (e) => {
      row.weight = e.target.value;
      this.later();
    });
    return [
      el("label", {}, `${title}, up to`, row.high),
      el("label", {}, "weight (1)", weight),
    ];
  }
  tons() {
    const typed = (e) => {
      this.ton = { text: e.target.value, unit: this.page.unit };
      this.relabel();
      this.later();
    };
    this.tonInput = el("input", { inputmode: "decimal", autocomplete: "off", oninput: typed });
    this.tonLabel = el("span");
    return this.table.calls.some((c) => c.compressor) ? el("label", {}, this.tonLabel, this.tonInput) : null;
  }
  hold(p, at) {
    // a position to keep; touched again it is released
    if (this.table.parts[p].unused) return;
    if (this.held.get(p) === at) this.held.delete(p);
    else this.held.set(p, at);
    this.at = 0;
    this.seek();
  }
  engine() {
    return this.page.engine || (this.any ??= new Engine(this.table, 0, new Map()));
  }
  scale(unit) {
    return this.engine().value(this.table.airflow[unit]);
  }
  relabel() {
    // another unit of airflow: what is typed is shown in it, and still means the same
    const { unit } = this.page;
    for (const row of this.rows.values()) {
      const { q } = row.kinds[row.kind],
        change = q === "airflow" || q === "airflow per ton";
      for (const [field, input] of [
        [row.from, row.low],
        [row.to, row.high],
      ]) {
        const x = decimal(field),
          other = change && row.unit !== unit && field.trim() && x !== null;
        input.value = other ? figure(over(times(x, this.scale(unit)), this.scale(row.unit))) : field;
      }
      row.kinds.forEach((k, n) => {
        row.select.options[n].textContent = this.kind(k);
      });
      row.short.textContent = { "airflow per ton": "/ton", tons: "tons", share: "%" }[q] ?? this.kind({ q });
    }
    const typed = decimal(this.ton.text);
    this.tonLabel.textContent = `${unit} for each ton`;
    this.tonInput.placeholder = this.perTon();
    if (typed && this.ton.unit !== unit) this.tonInput.value = this.perTon();
  }
  usual() {
    // airflow of a ton, in the table's unit
    const typed = this.ton.text.trim() ? decimal(this.ton.text) : null;
    return typed && compare(typed, ZERO) > 0
      ? over(typed, this.scale(this.ton.unit))
      : this.engine().value(this.table.usual);
  }
  perTon() {
    return figure(times(this.usual(), this.scale(this.page.unit)));
  }
  kind(k) {
    const { unit } = this.page,
      degree = this.table.units[1];
    return {
      airflow: unit,
      "temperature rise": `${degree} rise`,
      "airflow per ton": `${unit} per ton`,
      tons: `tons at ${this.perTon()}`,
      share: `% of ${k.title}`,
    }[k.q];
  }
  later() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      this.at = 0;
      this.seek();
    }, 150);
  }
  asked() {
    const out = [],
      wrong = [];
    for (const { c, s, key, title } of this.stages) {
      const row = this.rows.get(key),
        from = row.from.trim(),
        to = row.to.trim(),
        k = row.kinds[row.kind];
      row.low.removeAttribute("aria-invalid");
      if (!from && !to) continue;
      const low = decimal(from),
        high = to ? decimal(to) : low,
        weight = row.weight.trim() ? decimal(row.weight) : ONE;
      const bad = (why) => {
        wrong.push(`${title}: ${why}`);
        row.low.setAttribute("aria-invalid", "true");
      };
      if (low === null || high === null || compare(low, ZERO) <= 0) bad("type a figure above 0");
      else if (compare(low, high) > 0) bad("type the lower figure first");
      else if (weight === null || compare(weight, ZERO) <= 0) bad("a weight must be more than 0");
      else {
        const airflow = k.q === "airflow" || k.q === "airflow per ton",
          scale = this.scale(row.unit);
        const now = (x) => figure(airflow ? times(over(x, scale), this.scale(this.page.unit)) : x);
        const change = k.q === "tons" ? (x) => times(x, this.usual()) : airflow ? (x) => over(x, scale) : (x) => x;
        out.push({
          call: c,
          stage: s,
          quantity: k.q === "tons" ? "airflow" : k.q,
          low: change(low),
          high: change(high),
          weight,
          of: k.of || null,
          row,
          title,
          text: `${now(low)}${to ? ` to ${now(high)}` : ""} ${this.kind(k)}`,
        });
      }
    }
    return [out, wrong];
  }
  seek() {
    clearTimeout(this.timer);
    const { page } = this,
      { engine, setting } = page,
      [targets, wrong] = this.asked();
    this.first = this.base = null;
    this.none = false;
    const told = (words) => this.result.replaceChildren(...words.map((w) => el("p", { class: "told" }, w)));
    if (wrong.length || !targets.length) {
      told(wrong.length ? wrong : ["Type a target for one call or several. Tap a position on the board to hold it."]);
      this.draw(engine.evaluate(setting), []);
      return;
    }
    const found = setting.some((at) => at !== null) ? setting.slice() : null;
    let r;
    try {
      r = find(engine, targets, found, this.held);
    } catch (error) {
      if (!(error instanceof TooMuch)) throw error;
      told(["Too many outcomes to work out here. Ask for fewer calls at once."]);
      this.draw(engine.evaluate(setting), targets);
      return;
    }
    const one = r.ranked[Math.min(this.at, r.ranked.length - 1)] || (r.miss && r.miss.nearest);
    if (one) {
      this.first = one;
      this.base = r.space.baseline.map((at, p) =>
        found && found[p] === null && !this.table.parts[p].unused ? null : at,
      );
    }
    this.none = !one;
    const calls = engine.evaluate(one ? one.setting : setting.map((at, p) => this.held.get(p) ?? at));
    this.result.replaceChildren(
      ...shown(r.ranked.length ? this.ranked(r, targets, found, calls) : this.miss(r, targets)),
    );
    const off = targets.map((t) => `${t.title} ${page.airOrNo(calls[t.call][t.stage].air)}`).join(", ");
    page.speak(r.ranked.length ? `${this.moves(one).text || "as set"}: ${off}` : "Nothing fits.");
    this.draw(calls, targets);
  }
  draw(calls, targets) {
    // one line a call: what the setting gives, and how far that is off
    const { page } = this;
    for (const { c, s, key } of this.stages) {
      const row = this.rows.get(key),
        x = calls[c][s],
        mine = targets.find((t) => t.call === c && t.stage === s);
      const broken = x.judged.filter((j) => j.ok === false).map((j) => page.short(j));
      const parts = broken.length ? broken[0] : page.beside(x) || row.terminals;
      const several = x.airflows.length > 1 && x.noes.every((y) => y.k < UNREADABLE),
        [low, high] = [x.airflows[0], x.airflows[x.airflows.length - 1]],
        none = several ? `${page.whole(low)} to ${page.whole(high)}` : shortNo(x.air.k),
        gives = isNo(x.air) ? none : page.whole(x.air);
      const said = JSON.stringify([parts, gives, mine && this.aim(mine, calls)]);
      if (row.key === said + page.unit) continue;
      row.key = said + page.unit;
      row.second.textContent = parts;
      row.second.parentNode.classList.toggle("reverse", broken.length > 0);
      row.gives.classList.toggle("no", isNo(x.air));
      row.gives.textContent = gives;
      row.off.textContent = mine ? this.aim(mine, calls) : "";
    }
    // without a setting the board as it is, with what is held
    const held = () => page.setting.map((at, p) => this.held.get(p) ?? at),
      before = this.first ? this.base : null,
      setting = this.first ? this.first.setting : held();
    const board = document.getElementById("board");
    if (page.mode === "target") {
      for (const b of page.board) b.show(setting, before, this.held);
      board.classList.toggle("dont", Boolean(this.first ? this.first.miss : this.none));
    }
  }
}
