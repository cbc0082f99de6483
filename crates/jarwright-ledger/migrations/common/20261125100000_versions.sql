-- Texts by their hash, and the versions that name them. One text for every database: times are
-- microseconds of UTC, hashes are hexadecimal SHA-256.

CREATE TABLE content (
    hash TEXT NOT NULL PRIMARY KEY CHECK (length(hash) = 64),
    text TEXT NOT NULL
);

-- Every version; one without a hash withdraws the name.
CREATE TABLE versions (
    kind TEXT NOT NULL CHECK (kind IN ('formula', 'kitchen', 'stores', 'run')),
    name TEXT NOT NULL,
    number BIGINT NOT NULL CHECK (number >= 1),
    hash TEXT REFERENCES content (hash),
    saved_us BIGINT NOT NULL,
    by_whom TEXT NOT NULL,
    PRIMARY KEY (kind, name, number)
);

-- Which version is the newest of its name. This is the only row that ever changes.
CREATE TABLE newest (
    kind TEXT NOT NULL,
    name TEXT NOT NULL,
    number BIGINT NOT NULL,
    PRIMARY KEY (kind, name),
    FOREIGN KEY (kind, name, number) REFERENCES versions (kind, name, number)
);

-- What a program answered to the text of a run.
CREATE TABLE answers (
    run_hash TEXT NOT NULL REFERENCES content (hash),
    program TEXT NOT NULL,
    answer TEXT NOT NULL,
    PRIMARY KEY (run_hash, program)
);
