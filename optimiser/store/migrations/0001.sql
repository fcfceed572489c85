-- Lots, batches with their frozen recipes, what went into them, stock moved, and what was seen at the bench.
-- Grams are REAL, days are ISO 8601 text, money is a whole number of ten-thousandths.
-- '+0 days' makes SQLite reckon a day out, so that the 30th of February is none.

CREATE TABLE lot (
  row INTEGER PRIMARY KEY,
  number TEXT NOT NULL CHECK (length(number) BETWEEN 1 AND 200),
  folded TEXT NOT NULL CHECK (length(folded) > 0),
  material TEXT NOT NULL CHECK (length(material) BETWEEN 1 AND 200),
  material_folded TEXT NOT NULL CHECK (length(material_folded) > 0),
  best_before TEXT CHECK (best_before IS date(best_before, '+0 days')),
  UNIQUE (folded, material_folded)
) STRICT;

CREATE TABLE batch (
  row INTEGER PRIMARY KEY,
  id TEXT NOT NULL CHECK (length(id) BETWEEN 1 AND 200),
  folded TEXT NOT NULL UNIQUE CHECK (length(folded) > 0),
  title TEXT NOT NULL,
  made TEXT CHECK (made IS date(made, '+0 days')),
  recipe TEXT NOT NULL CHECK (length(recipe) > 0),
  recipe_sha256 TEXT NOT NULL CHECK (length(recipe_sha256) = 64),
  version TEXT NOT NULL,
  bars INTEGER CHECK (bars > 0),
  batter_g REAL NOT NULL CHECK (batter_g > 0 AND batter_g < 1e12),
  cured_g REAL NOT NULL CHECK (cured_g > 0 AND cured_g < 1e12),
  superfat REAL NOT NULL CHECK (superfat BETWEEN -1000 AND 100),
  superfat_likely REAL NOT NULL CHECK (superfat_likely BETWEEN -1000 AND 100),
  superfat_worst REAL NOT NULL CHECK (superfat_worst BETWEEN -1000 AND 100),
  lye_concentration REAL NOT NULL CHECK (lye_concentration BETWEEN 0 AND 100),
  cost_e4 INTEGER CHECK (cost_e4 >= 0),
  currency TEXT NOT NULL,
  cautions TEXT NOT NULL
) STRICT;

CREATE INDEX batch_by_day ON batch (made, id);

CREATE TABLE batch_lot_use (
  row INTEGER PRIMARY KEY,
  batch INTEGER NOT NULL REFERENCES batch (row),
  kind TEXT NOT NULL CHECK (kind IN ('fat', 'alkali', 'water', 'additive', 'liquid')),
  material TEXT NOT NULL COLLATE NOCASE CHECK (length(material) BETWEEN 1 AND 200),
  grams REAL NOT NULL CHECK (grams > 0 AND grams < 1e12),
  purity REAL CHECK (purity > 0 AND purity <= 1),
  lot INTEGER REFERENCES lot (row)
) STRICT;

CREATE INDEX use_by_batch ON batch_lot_use (batch);
CREATE INDEX use_by_lot ON batch_lot_use (lot, batch, grams);
CREATE INDEX use_without_lot ON batch_lot_use (material, batch, grams) WHERE lot IS NULL;

CREATE TABLE movement (
  row INTEGER PRIMARY KEY AUTOINCREMENT,
  lot INTEGER NOT NULL REFERENCES lot (row),
  grams REAL NOT NULL CHECK (abs(grams) < 1e12 AND (grams <> 0 OR why IN ('counted', 'shelf'))),
  why TEXT NOT NULL CHECK (why IN ('received', 'shelf', 'counted', 'drawn', 'made', 'made into')),
  moved_on TEXT CHECK (moved_on IS date(moved_on, '+0 days')),
  batch INTEGER REFERENCES batch (row)
) STRICT;

CREATE INDEX movement_by_lot ON movement (lot, grams);

CREATE TABLE observation (
  row INTEGER PRIMARY KEY,
  batch INTEGER NOT NULL REFERENCES batch (row),
  noted_on TEXT CHECK (noted_on IS date(noted_on, '+0 days')),
  trace_s REAL CHECK (trace_s > 0 AND trace_s < 1e9),
  unmould_h REAL CHECK (unmould_h > 0 AND unmould_h < 1e9),
  hardness REAL CHECK (hardness >= 0 AND hardness < 1e9),
  hardness_unit TEXT CHECK (length(hardness_unit) > 0),
  ash INTEGER CHECK (ash IN (0, 1)),
  notes TEXT NOT NULL,
  CHECK ((hardness IS NULL) = (hardness_unit IS NULL)),
  CHECK (coalesce(trace_s, unmould_h, hardness, ash) IS NOT NULL OR notes <> '')
) STRICT;

CREATE INDEX observation_by_batch ON observation (batch);

-- What was recorded stays as it was recorded. An INSERT OR REPLACE would go round a trigger on DELETE, so it has its own.

CREATE TRIGGER batch_is_kept BEFORE UPDATE ON batch
BEGIN SELECT raise(ABORT, 'a batch that was recorded is never changed'); END;
CREATE TRIGGER batch_stays BEFORE DELETE ON batch
BEGIN SELECT raise(ABORT, 'a batch that was recorded is never deleted'); END;
CREATE TRIGGER batch_is_not_replaced BEFORE INSERT ON batch
WHEN EXISTS (SELECT 1 FROM batch WHERE row = NEW.row OR folded = NEW.folded)
BEGIN SELECT raise(ABORT, 'a batch that was recorded is never replaced'); END;

-- A lot that was not told may be told later; nothing else of what went in ever changes.
CREATE TRIGGER use_is_kept BEFORE UPDATE ON batch_lot_use
WHEN OLD.lot IS NOT NULL OR NEW.lot IS NULL OR NEW.row IS NOT OLD.row OR NEW.batch IS NOT OLD.batch
  OR NEW.kind IS NOT OLD.kind OR NEW.material IS NOT OLD.material OR NEW.grams IS NOT OLD.grams
  OR NEW.purity IS NOT OLD.purity
BEGIN SELECT raise(ABORT, 'what went into a batch is never changed'); END;
CREATE TRIGGER use_stays BEFORE DELETE ON batch_lot_use
BEGIN SELECT raise(ABORT, 'what went into a batch is never deleted'); END;
CREATE TRIGGER use_is_not_replaced BEFORE INSERT ON batch_lot_use
WHEN EXISTS (SELECT 1 FROM batch_lot_use WHERE row = NEW.row)
BEGIN SELECT raise(ABORT, 'what went into a batch is never replaced'); END;

CREATE TRIGGER movement_is_kept BEFORE UPDATE ON movement
BEGIN SELECT raise(ABORT, 'a movement is never changed'); END;
CREATE TRIGGER movement_stays BEFORE DELETE ON movement
BEGIN SELECT raise(ABORT, 'a movement is never deleted'); END;
CREATE TRIGGER movement_is_not_replaced BEFORE INSERT ON movement
WHEN EXISTS (SELECT 1 FROM movement WHERE row = NEW.row)
BEGIN SELECT raise(ABORT, 'a movement is never replaced'); END;
