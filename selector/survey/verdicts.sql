-- The verdict on every record. DuckDB and Spark run this same text; the relations are those of `board/lookup.py`.
-- Airflow per ton is held against its window by whole numbers: millionths of a ton worked out beforehand, exactly.
WITH joined AS (
  SELECT r.*, v.*,
    t.airflow AS air_unit, t.cfm AS cfm, n.scaled AS tons_scaled, s.scaled AS static_scaled,
    CASE
      WHEN v.rank >= 20 THEN 'typed'
      WHEN n.fault IS NOT NULL AND NOT t.by_tons THEN 'tons'
      WHEN s.fault IS NOT NULL AND NOT t.by_static THEN 'unread static'
      WHEN v.rank < 5 THEN 'typed'
      WHEN s.scaled > v.static_most THEN 'static'
      WHEN v.rank = 5 THEN 'typed'
      WHEN n.scaled < v.high_at THEN 'high'
      WHEN n.scaled >= v.low_at THEN 'low'
      WHEN v.rank > 8 AND ((v.waits_tons AND n.scaled IS NOT NULL) OR (v.waits_static AND s.scaled IS NOT NULL)) THEN 'OK'
      ELSE 'typed'
    END AS which,
    n.fault AS tons_fault, s.fault AS unread_static_fault
  FROM records r
  LEFT JOIN tables t ON t.name = r.key_table
  LEFT JOIN tons n ON n.text = r.key_tons
  LEFT JOIN statics s ON s.pressure = t.pressure AND s.text = r.key_static
  LEFT JOIN boards b ON b.tbl = r.key_table AND b.model = r.key_model AND b.marks = r.key_marks
    AND b.facts = r.key_facts AND b.static = CASE WHEN t.by_static THEN r.key_static ELSE '' END
  LEFT JOIN verdicts v ON v.number = b.number
    AND v.tons = CASE WHEN b.by_tons OR n.odd THEN r.key_tons ELSE '' END
),
judged AS (
  SELECT j.*,
    CASE which
      WHEN 'tons' THEN tons_fault WHEN 'unread static' THEN unread_static_fault
      WHEN 'static' THEN static_fault WHEN 'high' THEN high_fault WHEN 'low' THEN low_fault
      WHEN 'OK' THEN 1 ELSE fault
    END AS said,
    CASE which
      WHEN 'static' THEN static_scaled / 1e6 - static_end
      WHEN 'high' THEN high_flow / (tons_scaled / 1e6) - high_end
      WHEN 'low' THEN low_flow / (tons_scaled / 1e6) - low_end
      WHEN 'typed' THEN beyond
    END AS by_how_much
  FROM joined j
)
SELECT {columns}
FROM judged j
LEFT JOIN faults f ON f.id = j.said
LEFT JOIN moves m ON m.number = j.number AND m.tons = j.key_tons
{order}
