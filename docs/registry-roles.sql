-- SPDX-License-Identifier: Apache-2.0
-- Roles of a registry that labs share, for PostgreSQL 15 and what speaks its language: run once, as the owner of the tables,
-- after one lab has sent its first rows as that owner (or after `fairlead registry send` by the owner made the tables).
-- Each lab then has a role of its own name: it writes and reads its own rows, and of the others it sees counts under the rule
-- for small numbers: 1 to 7 not at all, the rest rounded to 5. Nothing is a trigger, nothing a sequence.
--   psql -f docs/registry-roles.sql      (again after a newer program brought the tables forward: it may have made one more)
--   psql -c 'CREATE ROLE "lab-a" LOGIN PASSWORD ''...'' IN ROLE registry_lab'
DO $$ BEGIN
  IF NOT EXISTS (SELECT 1 FROM pg_roles WHERE rolname = 'registry_lab') THEN CREATE ROLE registry_lab NOLOGIN; END IF;
END $$;
ALTER TABLE registry_row ENABLE ROW LEVEL SECURITY;
ALTER TABLE registry_sum ENABLE ROW LEVEL SECURITY;
ALTER TABLE registry_month ENABLE ROW LEVEL SECURITY;
ALTER TABLE registry_day ENABLE ROW LEVEL SECURITY;
ALTER TABLE registry_known ENABLE ROW LEVEL SECURITY;
DROP POLICY IF EXISTS own_rows ON registry_row;
DROP POLICY IF EXISTS own_sums ON registry_sum;
DROP POLICY IF EXISTS own_months ON registry_month;
DROP POLICY IF EXISTS own_days ON registry_day;
DROP POLICY IF EXISTS own_known ON registry_known;
CREATE POLICY own_rows ON registry_row TO registry_lab USING (lab = current_user) WITH CHECK (lab = current_user);
CREATE POLICY own_sums ON registry_sum TO registry_lab USING (lab = current_user) WITH CHECK (lab = current_user);
CREATE POLICY own_months ON registry_month TO registry_lab USING (lab = current_user) WITH CHECK (lab = current_user);
CREATE POLICY own_days ON registry_day TO registry_lab USING (lab = current_user) WITH CHECK (lab = current_user);
CREATE POLICY own_known ON registry_known TO registry_lab USING (lab = current_user) WITH CHECK (lab = current_user);
-- Counts of every lab: one's own as they are, others' by the rule. The view reads with its owner's rights.
CREATE OR REPLACE VIEW registry_counts AS
  SELECT lab,
         CASE WHEN lab = current_user OR cases = 0 THEN cases WHEN cases >= 8 THEN (cases + 2) / 5 * 5 END AS cases,
         CASE WHEN lab = current_user OR outcomes = 0 THEN outcomes WHEN outcomes >= 8 THEN (outcomes + 2) / 5 * 5 END AS outcomes,
         CASE WHEN lab = current_user THEN successes WHEN outcomes < 8 OR successes BETWEEN 1 AND 7 OR outcomes - successes BETWEEN 1 AND 7 THEN NULL ELSE (successes + 2) / 5 * 5 END AS successes,
         CASE WHEN lab = current_user OR complication_entries = 0 THEN complication_entries WHEN complication_entries >= 8 THEN (complication_entries + 2) / 5 * 5 END AS complication_entries,
         CASE WHEN lab = current_user THEN complications WHEN complication_entries < 8 OR complications BETWEEN 1 AND 7 OR complication_entries - complications BETWEEN 1 AND 7 THEN NULL ELSE (complications + 2) / 5 * 5 END AS complications
  FROM (SELECT lab, sum(cases)::bigint AS cases, sum(outcomes)::bigint AS outcomes, sum(successes)::bigint AS successes,
               sum(complication_entries)::bigint AS complication_entries, sum(complications)::bigint AS complications
        FROM registry_sum GROUP BY lab) AS all_labs;
GRANT SELECT ON registry_meta, registry_counts TO registry_lab;
GRANT SELECT, INSERT, UPDATE ON registry_row TO registry_lab;
-- What is derived from the rows a lab may also throw away, to make it anew.
GRANT SELECT, INSERT, UPDATE, DELETE ON registry_sum, registry_month, registry_day, registry_known TO registry_lab;
DO $$ BEGIN EXECUTE format('GRANT USAGE ON SCHEMA %I TO registry_lab', current_schema()); END $$;
