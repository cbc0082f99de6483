//! Every statement, as text that SQLite and PostgreSQL read alike.
//!
//! Whatever was given from outside is bound (`$1`, `$2`), never part of the text. The tables
//! stand in `migrations/`.

/// The newest version of one name, standing or withdrawn.
pub const LAST: &str = "\
    SELECT v.name, v.number, v.hash, c.text, v.saved_us, v.by_whom \
    FROM newest n \
    JOIN versions v ON v.kind = n.kind AND v.name = n.name AND v.number = n.number \
    LEFT JOIN content c ON c.hash = v.hash \
    WHERE n.kind = $1 AND n.name = $2";

/// The newest version of every name of a kind that stands.
pub const ALL: &str = "\
    SELECT v.name, v.number, v.hash, c.text, v.saved_us, v.by_whom \
    FROM newest n \
    JOIN versions v ON v.kind = n.kind AND v.name = n.name AND v.number = n.number \
    LEFT JOIN content c ON c.hash = v.hash \
    WHERE n.kind = $1 AND v.hash IS NOT NULL";

/// How many names of a kind stand.
pub const COUNT: &str = "\
    SELECT COUNT(*) \
    FROM newest n \
    JOIN versions v ON v.kind = n.kind AND v.name = n.name AND v.number = n.number \
    WHERE n.kind = $1 AND v.hash IS NOT NULL";

/// One version by its number.
pub const ONE: &str = "\
    SELECT v.name, v.number, v.hash, c.text, v.saved_us, v.by_whom \
    FROM versions v \
    LEFT JOIN content c ON c.hash = v.hash \
    WHERE v.kind = $1 AND v.name = $2 AND v.number = $3";

/// What happened to a name, newest first.
pub const HISTORY: &str = "\
    SELECT number, hash, saved_us, by_whom FROM versions \
    WHERE kind = $1 AND name = $2 ORDER BY number DESC LIMIT $3";

/// A text by its hash.
pub const CONTENT: &str = "SELECT text FROM content WHERE hash = $1";

/// Texts after a hash, by hash.
pub const CONTENTS_AFTER: &str = "SELECT hash, text FROM content WHERE hash > $1 ORDER BY hash LIMIT $2";

/// How many versions there are.
pub const COUNT_VERSIONS: &str = "SELECT COUNT(*) FROM versions";

/// A name whose versions have a gap, or whose newest is not its last.
pub const BROKEN_NAME: &str = "\
    SELECT v.kind, v.name \
    FROM versions v \
    LEFT JOIN newest n ON n.kind = v.kind AND n.name = v.name \
    GROUP BY v.kind, v.name, n.number \
    HAVING COUNT(*) <> MAX(v.number) OR n.number IS NULL OR n.number <> MAX(v.number) \
    LIMIT 1";

/// Keeps a text that may be there already.
pub const ADD_CONTENT: &str = "INSERT INTO content (hash, text) VALUES ($1, $2) ON CONFLICT (hash) DO NOTHING";

/// Adds a version.
pub const ADD_VERSION: &str = "\
    INSERT INTO versions (kind, name, number, hash, saved_us, by_whom) VALUES ($1, $2, $3, $4, $5, $6)";

/// Moves a name on to its newest version.
pub const MOVE_ON: &str = "\
    INSERT INTO newest (kind, name, number) VALUES ($1, $2, $3) \
    ON CONFLICT (kind, name) DO UPDATE SET number = excluded.number";

/// Keeps the first answer to a run.
pub const ADD_ANSWER: &str = "\
    INSERT INTO answers (run_hash, program, answer) VALUES ($1, $2, $3) \
    ON CONFLICT (run_hash, program) DO NOTHING";

/// The answer to a run.
pub const ANSWER: &str = "SELECT answer FROM answers WHERE run_hash = $1 AND program = $2";
