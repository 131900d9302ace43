-- The verdict on every record. DuckDB and Spark run this same text; the relations are those of `board/lookup.py`.
-- Airflow per ton is held against its window by whole numbers: millionths of a ton worked out beforehand, exactly.
WITH joined AS (
  SELECT r.*, v.*, g.tons AS typed_tons, g.tons_scaled, g.static_scaled, g.air_unit,
    CASE
      WHEN v.rank >= 20 THEN 'typed'
      WHEN g.tons_fault IS NOT NULL THEN 'tons'
      WHEN g.static_fault IS NOT NULL THEN 'unread static'
      WHEN v.rank < 5 THEN 'typed'
      WHEN g.static_scaled > v.static_most THEN 'static'
      WHEN v.rank = 5 THEN 'typed'
      WHEN g.tons_scaled < v.high_at THEN 'high'
      WHEN g.tons_scaled >= v.low_at THEN 'low'
      WHEN v.rank > 8
        AND ((v.waits_tons AND g.tons_scaled IS NOT NULL) OR (v.waits_static AND g.static_scaled IS NOT NULL)) THEN 'OK'
      ELSE 'typed'
    END AS which,
    g.tons_fault, g.static_fault AS unread_static_fault
  FROM placed r
  LEFT JOIN figures g ON g.id = r.figures
  LEFT JOIN verdicts v ON v.number = r.verdict
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
LEFT JOIN moves m ON m.board = j.board AND m.tons = j.typed_tons
{readings}
{order}
