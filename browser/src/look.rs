//! What the accessibility rules do not look at: fit, size of type, size of targets, focus, policy.

use crate::Done;
use crate::tab::{Key, Tab};

/// Text that is read at arm's length beside a pot [CSS px].
pub const LEAST_TEXT_PX: u32 = 18;
/// Smallest target (WCAG 2.2, success criterion 2.5.8) [CSS px].
pub const LEAST_TARGET_PX: u32 = 24;
/// Smallest control for a wet hand at the stove: the house's own rule [CSS px].
pub const LEAST_AT_STOVE_PX: u32 = 112;
/// Most presses of Tab on one page.
const MOST_PRESSES: usize = 40;

/// Helpers every look needs.
const HELP: &str = include_str!("look.js");

async fn ask(tab: &Tab, call: &str) -> Done<Vec<String>> {
    tab.eval(&format!("(() => {{ {HELP}; return {call}; }})()")).await
}

/// What makes a page wider than its window.
///
/// # Errors
/// What the browser said.
pub async fn too_wide(tab: &Tab) -> Done<Vec<String>> {
    ask(tab, "tooWide()").await
}

/// Text smaller than [`LEAST_TEXT_PX`] that is no side note.
///
/// # Errors
/// What the browser said.
pub async fn too_small_to_read(tab: &Tab) -> Done<Vec<String>> {
    ask(tab, &format!("smallText({LEAST_TEXT_PX})")).await
}

/// Controls smaller than they must be, at the desk and at the stove.
///
/// # Errors
/// What the browser said.
pub async fn too_small_to_hit(tab: &Tab) -> Done<Vec<String>> {
    ask(tab, &format!("smallTargets({LEAST_TARGET_PX}, {LEAST_AT_STOVE_PX})")).await
}

/// Script or style written into the page itself.
///
/// # Errors
/// What the browser said.
pub async fn inline(tab: &Tab) -> Done<Vec<String>> {
    ask(tab, "inline()").await
}

/// Controls that take the focus and do not show it, walked through with the Tab key.
///
/// # Errors
/// What the browser said.
pub async fn unseen_focus(tab: &Tab) -> Done<Vec<String>> {
    let mut faults = Vec::new();
    for _ in 0..MOST_PRESSES {
        tab.press(Key::Tab).await?;
        let answer = ask(tab, "focus()").await?;
        match answer.first().map(String::as_str) {
            None => {}
            Some("out") => break,
            Some(fault) => faults.push(fault.to_owned()),
        }
    }
    Ok(faults)
}
