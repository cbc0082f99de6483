//! All of a ledger, held against what must be so of it.

use jarwright_kitchen::ports::{Hash, KeepError};

use crate::fault::said;
use crate::opening::SOUND;
use crate::{Ledger, row, sql};

/// Texts read at a time: of the largest, some 16 MiB.
const AT_A_TIME: i64 = 16;

/// What was looked at and found to be as it was saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Checked {
    /// Texts, each held against its hash.
    pub texts: u64,
    /// Versions, without a gap under any name, each with its text.
    pub versions: u64,
}

impl Ledger {
    /// Reads the whole file: its pages, its references, every text against its hash, every name's
    /// versions.
    ///
    /// # Errors
    /// [`KeepError::Damaged`] with the first thing that is not as it was saved.
    pub async fn check(&self) -> Result<Checked, KeepError> {
        let pages: String = sqlx::query_scalar("PRAGMA integrity_check(1)")
            .fetch_one(&self.read)
            .await
            .map_err(said)?;
        if pages != SOUND {
            return Err(KeepError::Damaged(format!("the ledger's file is damaged ({pages})")));
        }
        let astray = sqlx::query("PRAGMA foreign_key_check").fetch_optional(&self.read);
        if astray.await.map_err(said)?.is_some() {
            return Err(KeepError::Damaged(
                "the ledger names something that is not in it".into(),
            ));
        }
        let broken = sqlx::query_as::<_, (String, String)>(sql::BROKEN_NAME).fetch_optional(&self.read);
        if let Some((kind, name)) = broken.await.map_err(said)? {
            return Err(KeepError::Damaged(format!(
                "the versions of {kind} \"{name}\" in the ledger have a gap"
            )));
        }
        let versions = sqlx::query_scalar::<_, i64>(sql::COUNT_VERSIONS).fetch_one(&self.read);
        Ok(Checked {
            texts: self.check_texts().await?,
            versions: u64::try_from(versions.await.map_err(said)?).unwrap_or_default(),
        })
    }

    async fn check_texts(&self) -> Result<u64, KeepError> {
        let mut texts = 0;
        let mut after = String::new();
        loop {
            let some = sqlx::query_as::<_, (String, String)>(sql::CONTENTS_AFTER)
                .bind(&after)
                .bind(AT_A_TIME);
            let some = some.fetch_all(&self.read).await.map_err(said)?;
            let Some((last, _)) = some.last() else {
                return Ok(texts);
            };
            after.clone_from(last);
            for (hex, words) in some {
                let hash: Hash = hex
                    .parse()
                    .map_err(|_| KeepError::Damaged(format!("{hex:?} in the ledger is not a hash")))?;
                row::text(hash, words)?;
                texts += 1;
            }
        }
    }
}
