//! The certificate that the pages show to other machines: made at the first start, kept in the data
//! folder, made anew when it runs out or the names change.
//!
//! Nobody vouches for it, so a browser asks; the person compares the fingerprint that is printed at
//! every start.

use std::path::Path;

use jarwright_pages::Tls;
use jiff::ToSpan;
use jiff::civil::Date;
use rcgen::{CertificateParams, DnType, ExtendedKeyUsagePurpose, IsCa, KeyPair, KeyUsagePurpose, date_time_ymd};

use crate::data_dir::{DataDir, make_dir, read_private, read_text, write_private, write_whole};
use crate::exit::Stop;

/// How long a certificate is valid [d]. Some devices refuse one of more than 825 days (common
/// practice, from memory).
const VALID_DAYS: i64 = 800;
/// It is made anew when it is valid for fewer days than this [d].
const LAST_DAYS: i64 = 30;

/// The certificate of a data folder for these names and addresses.
///
/// # Errors
/// [`Stop`] where it cannot be kept or read, or others may read its key.
pub fn of(data: &DataDir, names: &[String], today: Date) -> Result<Tls, Stop> {
    let folder = data.door();
    let (certificate, key) = (folder.join("certificate.pem"), folder.join("key.pem"));
    if !(certificate.is_file() && key.is_file() && holds(&read_text(&certificate)?, names, today)) {
        make(&folder, &certificate, &key, names, today)?;
    }
    Tls::new(&read_text(&certificate)?, &read_private(&key)?).map_err(|error| {
        Stop::file(
            &certificate,
            error.to_string(),
            "remove this file and key.pem beside it: the next start makes them anew",
        )
    })
}

/// What a certificate is for, above it in its file (RFC 7468, 2, has room for such a text).
fn head(names: &[String], until: Date) -> String {
    format!("For: {}\nUntil: {until}\n", names.join(" "))
}

/// Whether a certificate's text is for these names, and for some time to come.
fn holds(text: &str, names: &[String], today: Date) -> bool {
    let until = text
        .lines()
        .find_map(|line| line.strip_prefix("Until: ")?.parse::<Date>().ok());
    until.is_some_and(|until| text.starts_with(&head(names, until)) && today.saturating_add(LAST_DAYS.days()) < until)
}

fn make(folder: &Path, certificate: &Path, key: &Path, names: &[String], today: Date) -> Result<(), Stop> {
    let fault = |error: rcgen::Error| {
        Stop::file(
            certificate,
            format!("a certificate could not be made: {error}"),
            "check the names given with --host",
        )
    };
    let until = today.saturating_add(VALID_DAYS.days());
    let mut params = CertificateParams::new(names).map_err(fault)?;
    // Clocks of other machines may be a little behind.
    let day = |date: Date| {
        let part = |part: i8| u8::try_from(part).unwrap_or(1);
        date_time_ymd(i32::from(date.year()), part(date.month()), part(date.day()))
    };
    params.not_before = day(today.saturating_sub(1.day()));
    params.not_after = day(until);
    params.is_ca = IsCa::ExplicitNoCa;
    params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
    params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
    params.distinguished_name.push(DnType::CommonName, "Jarwright");
    let pair = KeyPair::generate().map_err(fault)?;
    let made = params.self_signed(&pair).map_err(fault)?;
    make_dir(folder)?;
    write_private(key, &pair.serialize_pem())?;
    write_whole(certificate, &(head(names, until) + &made.pem()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn names(names: &[&str]) -> Vec<String> {
        names.iter().map(|&name| name.to_owned()).collect()
    }

    #[test]
    fn a_certificate_is_kept_until_it_runs_out_or_the_names_change() -> Result<(), Box<dyn std::error::Error>> {
        let dir = tempfile::tempdir()?;
        let data = DataDir {
            path: dir.path().to_owned(),
        };
        let made = |host: &[&str], today| {
            of(&data, &names(host), today)
                .map(|tls| tls.fingerprint().to_owned())
                .map_err(|stop| format!("{stop:?}"))
        };
        let first = made(&["kitchen.local", "192.0.2.7"], date(2026, 11, 25))?;
        assert_eq!(first.len(), 32 * 3 - 1);
        assert_eq!(first, made(&["kitchen.local", "192.0.2.7"], date(2028, 12, 1))?);
        assert_ne!(first, made(&["kitchen.local", "192.0.2.7"], date(2029, 1, 20))?);
        let later = made(&["kitchen.local", "192.0.2.7"], date(2029, 1, 21))?;
        assert_ne!(later, made(&["kitchen.local"], date(2029, 1, 21))?);
        Ok(())
    }

    #[cfg(unix)]
    #[test]
    fn a_key_that_others_may_read_is_refused() -> Result<(), Box<dyn std::error::Error>> {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir()?;
        let data = DataDir {
            path: dir.path().to_owned(),
        };
        let host = names(&["kitchen.local"]);
        of(&data, &host, date(2026, 11, 25)).map_err(|stop| format!("{stop:?}"))?;
        let key = data.door().join("key.pem");
        assert_eq!(std::fs::metadata(&key)?.permissions().mode() & 0o777, 0o600);
        std::fs::set_permissions(&key, std::fs::Permissions::from_mode(0o644))?;
        assert!(of(&data, &host, date(2026, 11, 25)).is_err());
        Ok(())
    }
}
