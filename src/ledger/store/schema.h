/// The schema as an append-only list of migrations; each runs once, in its own
/// transaction, which also writes the new version.
#pragma once

#include <array>

namespace platemark::ledger {

/// "PMRK": marks the file as a record of this program.
inline constexpr int application_id = 0x504D524B;

inline constexpr std::array migrations{
    // 1: the enduring tables, then the derived ones, which can be dropped and rebuilt from the
    // facts.
    R"sql(
    CREATE TABLE fact (              -- enduring: one row for each fact, never changed
      plant     TEXT    NOT NULL,    -- which plant's chain
      sequence  INTEGER NOT NULL,    -- 1, 2, 3 … without gaps
      bytes     BLOB    NOT NULL,    -- canonical JSON of the fact: what was hashed and signed
      signer    BLOB    NOT NULL,    -- Ed25519 public key, 32 bytes; empty when unsigned
      signature BLOB    NOT NULL,    -- Ed25519 signature over bytes, 64 bytes; empty when unsigned
      hash      TEXT    NOT NULL,    -- SHA-256 over bytes, signer, signature; 64 hex digits
      PRIMARY KEY (plant, sequence)
    ) STRICT;
    CREATE TABLE attachment (        -- enduring: files kept beside the database under their hash
      plant TEXT    NOT NULL,        -- which plant's record names it
      hash  TEXT    NOT NULL,        -- SHA-256 of the file's bytes; 64 hex digits
      size  INTEGER NOT NULL CHECK (size >= 0),  -- bytes
      PRIMARY KEY (plant, hash)
    ) STRICT, WITHOUT ROWID;
    CREATE TABLE token (             -- derived: the answer each act was given
      plant  TEXT    NOT NULL,       -- which plant's chain
      token  TEXT    NOT NULL,       -- chosen by the sender
      digest TEXT    NOT NULL,       -- SHA-256 of what was asked
      first  INTEGER NOT NULL,       -- first fact of the answer
      last   INTEGER NOT NULL,       -- last fact of the answer
      PRIMARY KEY (plant, token)
    ) STRICT, WITHOUT ROWID;
    CREATE TABLE subject (           -- derived: which facts are about a thing
      plant    TEXT    NOT NULL,     -- which plant's chain
      kind     TEXT    NOT NULL,     -- "batch"
      id       TEXT    NOT NULL,     -- "K7M4J-7"
      sequence INTEGER NOT NULL,     -- the fact
      PRIMARY KEY (plant, kind, id, sequence)
    ) STRICT, WITHOUT ROWID;
    CREATE TABLE state (             -- derived: what the facts add up to
      plant      TEXT NOT NULL,      -- which plant's chain
      projection TEXT NOT NULL,      -- which way of adding up: "lot", "batch"
      key        TEXT NOT NULL,      -- the thing within it
      value      TEXT NOT NULL,      -- canonical JSON
      PRIMARY KEY (plant, projection, key)
    ) STRICT, WITHOUT ROWID;
    )sql",
    // 2: states change with nearly every fact and are often longer than the thousand bytes that a
    // WITHOUT ROWID row keeps in place; in a rowid table a changed state is one changed page.
    R"sql(
    CREATE TABLE state_2 (           -- derived: what the facts add up to
      plant      TEXT NOT NULL,      -- which plant's chain
      projection TEXT NOT NULL,      -- which way of adding up: "lot", "batch"
      key        TEXT NOT NULL,      -- the thing within it
      value      TEXT NOT NULL,      -- canonical JSON
      PRIMARY KEY (plant, projection, key)
    ) STRICT;
    INSERT INTO state_2 SELECT plant, projection, key, value FROM state;
    DROP TABLE state;
    ALTER TABLE state_2 RENAME TO state;
    )sql",
    // 3: approvals have a second version. States of an older program hold the first one; emptied,
    // they are made again from the facts when the record is opened.
    R"sql(
    DELETE FROM state;
    )sql",
    // 4: results and weighings name their gauges, and each gauge knows its results.
    R"sql(
    DELETE FROM state;
    )sql",
};

}  // namespace platemark::ledger
