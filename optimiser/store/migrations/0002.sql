-- Lots made of lots, as an infusion is of its oil, and where the bars went.

CREATE TABLE lot_made_from (
  lot INTEGER NOT NULL REFERENCES lot (row),
  source INTEGER NOT NULL REFERENCES lot (row),
  grams REAL CHECK (grams > 0 AND grams < 1e12),
  PRIMARY KEY (source, lot),
  CHECK (lot <> source)
) STRICT, WITHOUT ROWID;

CREATE INDEX made_from_by_lot ON lot_made_from (lot, source);

CREATE TABLE shipment (
  row INTEGER PRIMARY KEY AUTOINCREMENT,
  batch INTEGER NOT NULL REFERENCES batch (row),
  bars INTEGER NOT NULL CHECK (bars > 0),
  recipient TEXT NOT NULL CHECK (length(recipient) > 0),
  sent_on TEXT NOT NULL CHECK (sent_on IS date(sent_on, '+0 days'))
) STRICT;

CREATE INDEX shipment_by_batch ON shipment (batch);
