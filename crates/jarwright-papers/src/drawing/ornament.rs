//! Small marks from the work itself: a jar, a ladle, the graduations of a jug.

use maud::{Markup, html};

use super::px;

/// A jar in outline, filled to its headspace; for the eye only.
#[must_use]
pub fn jar() -> Markup {
    html! {
        svg class="jar ink-line" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 52" aria-hidden="true"
            fill="none" stroke="#000" stroke-width="1.6" stroke-linejoin="round" stroke-linecap="round" {
            path d="M11 2.5H29M10.5 2.5V9.5H29.5V2.5M10.5 6H29.5" {}
            path d="M12 9.5C12 12.5 5 13.5 5 19V44.5C5 47.5 7 49.5 10 49.5H30C33 49.5 35 47.5 35 44.5V19C35 13.5 28 12.5 28 9.5" {}
            path d="M5.5 17.5C11 15.8 14 19 20 17.6C26 16.2 29 18.6 34.5 17.3" {}
            path d="M9.5 24H14M9.5 30H12.5M9.5 36H14M9.5 42H12.5" stroke-width="1.1" {}
        }
    }
}

/// A ladle in outline, mark of a step to take when something goes wrong; for the eye only.
#[must_use]
pub fn ladle() -> Markup {
    html! {
        svg class="ladle ink-line" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 24" aria-hidden="true"
            fill="none" stroke="#000" stroke-width="1.7" stroke-linejoin="round" stroke-linecap="round" {
            path d="M2 14H14C14 18 11.5 20.5 8 20.5S2 18 2 14Z" {}
            path d="M13.5 14L19 4.5C20 2.8 22.4 3.4 22 5.4" {}
        }
    }
}

/// A rule with the graduations of a measuring jug; for the eye only.
#[must_use]
pub fn graduations() -> Markup {
    let ticks: String = (0..=72)
        .map(|i| {
            let depth = match i % 10 {
                0 => 8.0,
                5 => 5.5,
                _ => 3.0,
            };
            format!("M{} 0.5V{}", px(0.5 + f64::from(i) * 9.986), px(0.5 + depth))
        })
        .collect();
    html! {
        svg class="graduations ink-line" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 720 9" aria-hidden="true"
            fill="none" stroke="#000" {
            path d="M0 0.5H720" stroke-width="1" {}
            path d=(ticks) stroke-width="0.6" {}
        }
    }
}
