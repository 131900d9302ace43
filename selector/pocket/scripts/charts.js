// The charts of the manual with the board's own cells marked: own model, own row, distance from the target.
class Charts {
  constructor(page) {
    Object.assign(this, { page, paper: document.getElementById(`paper${page.number}`) });
  }
  mark() {
    const { engine, setting, ask, table } = this.page,
      own = engine.model.model,
      targets = ask.asked()[0];
    for (const chart of this.paper.querySelectorAll("table[data-models]")) {
      const models = JSON.parse(chart.dataset.models),
        flows = JSON.parse(chart.dataset.flows);
      const t = targets.find((x) => x.quantity === "airflow" && table.charts[x.call].includes(chart.dataset.chart));
      for (const row of chart.rows) {
        const cells = [...row.cells],
          lead = cells.length - models.length;
        const at = row.dataset.at ? row.dataset.at.split(" ").map((x) => x.split(":").map(Number)) : null;
        row.classList.toggle("at", Boolean(at && at.every(([p, i]) => i < 0 || setting[p] === i)));
        if (lead < 0 || cells.some((x) => x.colSpan > 1)) continue;
        models.forEach((m, n) => {
          const cell = cells[n + lead];
          cell.hidden = own !== null && m !== "" && m !== own;
          if (flows[n] && cell.tagName === "TD") this.shade(cell, t);
        });
      }
    }
  }
  shade(cell, t) {
    // how far a figure is from the target
    cell.querySelector("small")?.remove();
    cell.className = "";
    const value = t && decimal(cell.textContent);
    if (!value) return;
    const off = beyond(value, t.low, t.high),
      n = [1, 5, 10, 20].findIndex((x) => compare(off, fraction(x, 100)) <= 0);
    if (n >= 0) cell.className = `d${n + 1}`;
    cell.append(el("small", {}, this.page.ask.percent(value, t)));
  }
}
