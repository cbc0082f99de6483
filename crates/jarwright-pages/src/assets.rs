//! Style, script and icon: three small files inside the program, each under an address that
//! changes with its bytes, so that a browser may keep it for good.

use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::StatusCode;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use jarwright_papers::drawing::{FILM_JS, PICTURE_CSS};
use jarwright_papers::why;
use sha2::{Digest, Sha256};

/// A file of the pages.
#[derive(Debug)]
pub struct Asset {
    /// Where it is: `/assets/1f2e3d4c5b6a7988/style.css`.
    pub address: String,
    tag: String,
    name: &'static str,
    kind: &'static str,
    bytes: String,
}

fn asset(name: &'static str, kind: &'static str, bytes: String) -> Asset {
    let hash = Sha256::digest(bytes.as_bytes());
    let tag: String = hash.iter().take(8).map(|byte| format!("{byte:02x}")).collect();
    Asset {
        address: format!("/assets/{tag}/{name}"),
        tag,
        name,
        kind,
        bytes,
    }
}

static ALL: LazyLock<[Asset; 3]> = LazyLock::new(|| {
    [
        asset(
            "style.css",
            "text/css; charset=utf-8",
            [include_str!("assets/style.css"), PICTURE_CSS, why::STYLE].concat(),
        ),
        asset(
            "page.js",
            "text/javascript; charset=utf-8",
            [include_str!("assets/page.js"), FILM_JS].concat(),
        ),
        asset("jar.svg", "image/svg+xml", include_str!("assets/jar.svg").to_owned()),
    ]
});

/// The style sheet.
#[must_use]
pub fn style() -> &'static Asset {
    &ALL[0]
}

/// The script.
#[must_use]
pub fn script() -> &'static Asset {
    &ALL[1]
}

/// The icon.
#[must_use]
pub fn icon() -> &'static Asset {
    &ALL[2]
}

/// Serves a file; an old or made-up address is not found.
pub async fn serve(Path((tag, name)): Path<(String, String)>) -> Response {
    match ALL.iter().find(|asset| asset.tag == tag && asset.name == name) {
        Some(asset) => (
            [
                (CONTENT_TYPE, asset.kind),
                (CACHE_CONTROL, "public, max-age=31536000, immutable"),
            ],
            asset.bytes.as_str(),
        )
            .into_response(),
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_script_stays_small() {
        assert!(script().bytes.len() < 20_000, "{} bytes", script().bytes.len());
    }
}
