//! Names, texts and hashes, checked where they are born.

use std::fmt;
use std::str::FromStr;
use std::sync::Arc;

use jiff::Timestamp;
use serde::{Serialize, Serializer};
use sha2::{Digest, Sha256};

use super::KeepError;

/// Largest text that is kept [bytes].
pub const MOST_TEXT_BYTES: usize = 1 << 20;

/// Largest answer of a run that is kept [bytes].
pub const MOST_ANSWER_BYTES: usize = 16 << 20;

/// Longest name, and longest [`Who`] [characters].
const MOST_CHARS: usize = 80;

/// Longest name [bytes]: with an ending it is still a file's name everywhere.
const MOST_NAME_BYTES: usize = 200;

/// SHA-256 of a text's UTF-8 bytes, shown in hexadecimal.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hash([u8; 32]);

impl Hash {
    /// The hash of a text.
    ///
    /// # Source
    /// FIPS 180-4 (Secure Hash Standard).
    #[must_use]
    pub fn of(text: &str) -> Self {
        Self(Sha256::digest(text.as_bytes()).into())
    }

    /// The hash whose bytes these are.
    #[must_use]
    pub const fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// Its bytes.
    #[must_use]
    pub const fn bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Hash({self})")
    }
}

impl FromStr for Hash {
    type Err = KeepError;

    fn from_str(hex: &str) -> Result<Self, KeepError> {
        let fault = || KeepError::bad("hash", hex, "64 hexadecimal digits");
        if hex.len() != 64 || !hex.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return Err(fault());
        }
        let mut bytes = [0; 32];
        for (byte, pair) in bytes.iter_mut().zip(hex.as_bytes().chunks_exact(2)) {
            let pair = str::from_utf8(pair).map_err(|_| fault())?;
            *byte = u8::from_str_radix(pair, 16).map_err(|_| fault())?;
        }
        Ok(Self(bytes))
    }
}

impl Serialize for Hash {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// A name: letters of any script in lower case, digits, and single hyphens between them.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Name(Arc<str>);

impl Name {
    /// Takes a name as it stands.
    ///
    /// # Errors
    /// [`KeepError::Bad`] when it is empty, longer than 80 characters or 200 bytes, or has
    /// anything in it but lower-case letters, digits and single hyphens between them.
    pub fn new(name: &str) -> Result<Self, KeepError> {
        let part = |part: &str| {
            let lower = |c: char| c.is_alphanumeric() && c.to_lowercase().eq([c]);
            !part.is_empty() && part.chars().all(lower)
        };
        if fits(name) && name.len() <= MOST_NAME_BYTES && name.split('-').all(part) {
            return Ok(Self(name.into()));
        }
        Err(KeepError::bad(
            "name",
            name,
            "1 to 80 lower-case letters and digits, with hyphens between words",
        ))
    }

    /// Makes a name of a title: "Lime curd, No. 2" becomes `lime-curd-no-2`.
    ///
    /// # Errors
    /// As [`Name::new`], when no name is left or it is too long.
    pub fn of_title(title: &str) -> Result<Self, KeepError> {
        let lower = title.to_lowercase();
        let words: Vec<&str> = lower
            .split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .collect();
        Self::new(&words.join("-"))
    }

    /// The name.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl FromStr for Name {
    type Err = KeepError;

    fn from_str(name: &str) -> Result<Self, KeepError> {
        Self::new(name)
    }
}

impl Serialize for Name {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0)
    }
}

/// Who did something, person or program, in one line.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Who(Arc<str>);

impl Who {
    /// Takes who it was as it stands.
    ///
    /// # Errors
    /// [`KeepError::Bad`] when it is blank, longer than 80 characters, or has a line break or
    /// another control character in it.
    pub fn new(who: &str) -> Result<Self, KeepError> {
        if fits(who) && !who.trim().is_empty() && !who.chars().any(char::is_control) {
            return Ok(Self(who.into()));
        }
        Err(KeepError::bad(
            "name of who it was",
            who,
            "1 to 80 characters in one line",
        ))
    }

    /// Who it was.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Who {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl Serialize for Who {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0)
    }
}

/// A text that can be kept, with its hash.
#[derive(Clone, PartialEq, Eq)]
pub struct Text {
    text: Arc<str>,
    hash: Hash,
}

impl Text {
    /// Takes a text as it stands, every byte of it.
    ///
    /// # Errors
    /// [`KeepError::TooLarge`] above [`MOST_TEXT_BYTES`]; [`KeepError::Bad`] with a NUL character
    /// in it, which not every keeper can hold.
    pub fn new(text: impl Into<Arc<str>>) -> Result<Self, KeepError> {
        let text = text.into();
        if text.len() > MOST_TEXT_BYTES {
            return Err(KeepError::TooLarge {
                what: "text",
                bytes: text.len(),
                most: MOST_TEXT_BYTES,
            });
        }
        if let Some(at) = text.find('\0') {
            let line = text[..at].matches('\n').count() + 1;
            return Err(KeepError::bad(
                "text",
                &format!("a NUL character in line {line}"),
                "plain text",
            ));
        }
        let hash = Hash::of(&text);
        Ok(Self { text, hash })
    }

    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.text
    }

    /// The text, to share.
    #[must_use]
    pub fn shared(&self) -> Arc<str> {
        Arc::clone(&self.text)
    }

    /// Its hash.
    #[must_use]
    pub const fn hash(&self) -> Hash {
        self.hash
    }
}

impl fmt::Display for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl fmt::Debug for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Text({} bytes, {})", self.text.len(), self.hash)
    }
}

/// A time as it is kept: to the microsecond.
///
/// # Errors
/// [`KeepError::Bad`] in the very last microsecond of the calendar.
pub fn to_the_microsecond(at: Timestamp) -> Result<Timestamp, KeepError> {
    Timestamp::from_microsecond(at.as_microsecond())
        .map_err(|_| KeepError::bad("time", &at.to_string(), "a time that can be kept"))
}

/// Refuses an answer above [`MOST_ANSWER_BYTES`] or with a NUL character in it.
///
/// # Errors
/// [`KeepError::TooLarge`], [`KeepError::Bad`].
pub fn answer_fits(answer: &str) -> Result<(), KeepError> {
    if answer.len() > MOST_ANSWER_BYTES {
        return Err(KeepError::TooLarge {
            what: "answer",
            bytes: answer.len(),
            most: MOST_ANSWER_BYTES,
        });
    }
    if answer.contains('\0') {
        return Err(KeepError::bad("answer", "a NUL character", "JSON text"));
    }
    Ok(())
}

fn fits(line: &str) -> bool {
    (1..=MOST_CHARS).contains(&line.chars().take(MOST_CHARS + 1).count())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_that_of_the_standard() {
        // FIPS 180-4's example of one block, and the hash of nothing, as NIST prints them with the
        // standard (Cryptographic Standards and Guidelines, example values, SHA-256).
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(Hash::of("abc").to_string(), abc);
        let two_blocks = "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
        let expected = "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1";
        assert_eq!(Hash::of(two_blocks).to_string(), expected);
        assert_eq!(abc.parse::<Hash>(), Ok(Hash::of("abc")));
    }

    #[test]
    fn a_hash_is_64_hexadecimal_digits_and_nothing_else() {
        for wrong in ["", "ba78", &"g".repeat(64), &"é".repeat(32), &"0".repeat(65)] {
            assert!(matches!(wrong.parse::<Hash>(), Err(KeepError::Bad { .. })), "{wrong}");
        }
        let upper = "BA7816BF8F01CFEA414140DE5DAE2223B00361A396177A9CB410FF61F20015AD";
        assert_eq!(upper.parse::<Hash>(), Ok(Hash::of("abc")));
    }

    #[test]
    fn a_name_is_words_in_lower_case_with_hyphens_between() {
        for right in ["a", "lime-curd", "crème-brûlée-2", "варенье", "梅干し", &"x".repeat(80)] {
            assert!(Name::new(right).is_ok(), "{right}");
        }
        for wrong in [
            "",
            "-",
            "a-",
            "-a",
            "a--b",
            "Lime",
            "lime curd",
            "a/b",
            "..",
            "a.toml",
            "a'b",
            "a\0",
            &"x".repeat(81),
            &"梅".repeat(70),
        ] {
            assert!(matches!(Name::new(wrong), Err(KeepError::Bad { .. })), "{wrong}");
        }
    }

    #[test]
    fn a_title_becomes_a_name() {
        assert_eq!(
            Name::of_title("  Lime curd, No. 2 ").map(|name| name.to_string()),
            Ok("lime-curd-no-2".into())
        );
        assert!(Name::of_title("!?").is_err());
    }

    #[test]
    fn a_text_is_bounded_and_without_nul() {
        assert!(Text::new("x".repeat(MOST_TEXT_BYTES)).is_ok());
        assert!(matches!(
            Text::new("x".repeat(MOST_TEXT_BYTES + 1)),
            Err(KeepError::TooLarge { .. })
        ));
        let Err(fault) = Text::new("a\nb\0") else {
            panic!("a NUL was taken");
        };
        assert!(fault.to_string().contains("line 2"), "{fault}");
        assert_eq!(Text::new("").map(|text| text.hash()), Ok(Hash::of("")));
    }
}
