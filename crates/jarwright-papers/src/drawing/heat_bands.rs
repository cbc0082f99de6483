//! The bands of temperature in a jar's section, and the keys that tell them in °C and °F.

use maud::{Markup, html};

use super::ink::HEAT;
use super::{Anchor, Stroke, bold, px, strokes, text};
use crate::words::fahrenheit;

/// Temperatures between two bands [°C]; below the first and above the last is a band each.
pub const BAND_EDGES_C: [f64; 8] = [20.0, 40.0, 60.0, 70.0, 80.0, 85.0, 90.0, 95.0];

/// The band a temperature lies in, coldest 0.
pub(super) fn band_of(c: f64) -> usize {
    BAND_EDGES_C.iter().filter(|edge| **edge <= c).count()
}

/// Class and fill on paper of a band.
pub(super) fn heat(band: usize) -> (String, &'static str) {
    let band = band.min(HEAT.len() - 1);
    (format!("ink-heat-{band}"), HEAT[band])
}

/// The bands with their temperatures, upright: °C left, °F right.
pub(super) fn upright_key(x: f64, top: f64, foot: f64) -> Markup {
    let step = (foot - top) / HEAT.len() as f64;
    html! {
        @for band in 0..HEAT.len() {
            @let (class, fill) = heat(band);
            rect class=(class) fill=(fill) x=(px(x)) y=(px(foot - step * (band as f64 + 1.0))) width="14" height=(px(step)) {}
        }
        rect class="ink-line" fill="none" stroke="#000" stroke-width="0.8" x=(px(x)) y=(px(top)) width="14" height=(px(foot - top)) {}
        (strokes((1..HEAT.len()).flat_map(|i| {
            let y = foot - step * i as f64;
            [[x - 3.0, y, x, y], [x + 14.0, y, x + 17.0, y]]
        }), Stroke::Fine))
        @for (i, edge) in BAND_EDGES_C.iter().enumerate() {
            @let y = foot - step * (i as f64 + 1.0);
            (text(x - 5.0, y + 4.0, Anchor::End, &px(*edge)))
            (text(x + 19.0, y + 4.0, Anchor::Start, &format!("{:.0}", fahrenheit(*edge))))
        }
        (bold(x - 5.0, top + 4.0, Anchor::End, "°C"))
        (bold(x + 19.0, top + 4.0, Anchor::Start, "°F"))
    }
}

/// The bands with their temperatures, lying: °C above, °F below.
pub(super) fn lying_key(y: f64, left: f64, right: f64) -> Markup {
    let step = (right - left) / HEAT.len() as f64;
    html! {
        @for band in 0..HEAT.len() {
            @let (class, fill) = heat(band);
            rect class=(class) fill=(fill) x=(px(left + step * band as f64)) y=(px(y)) width=(px(step)) height="12" {}
        }
        rect class="ink-line" fill="none" stroke="#000" stroke-width="0.8" x=(px(left)) y=(px(y)) width=(px(right - left)) height="12" {}
        (strokes((1..HEAT.len()).flat_map(|i| {
            let x = left + step * i as f64;
            [[x, y - 3.0, x, y], [x, y + 12.0, x, y + 15.0]]
        }), Stroke::Fine))
        @for (i, edge) in BAND_EDGES_C.iter().enumerate() {
            @let x = left + step * (i as f64 + 1.0);
            (text(x, y - 5.0, Anchor::Middle, &px(*edge)))
            (text(x, y + 27.0, Anchor::Middle, &format!("{:.0}", fahrenheit(*edge))))
        }
        (bold(left - 6.0, y - 5.0, Anchor::End, "°C"))
        (bold(left - 6.0, y + 27.0, Anchor::End, "°F"))
    }
}
