//! What to do when it goes wrong at the stove: one line to act on, then why.

use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::LoadPlan;
use maud::{Markup, html};

use crate::{drawing, words};

/// Until when a jar that did not seal must be in the refrigerator, counted from the bath [min].
///
/// # Source
/// `usda_guide_1994`: unsealed jars are reprocessed, frozen or refrigerated within 24 h.
pub(crate) const UNSEALED_MIN: f64 = 24.0 * 60.0;

/// Above this pH a food is not an acid one.
///
/// # Source
/// `cfr21_114`, 114.3 and 114.80.
const PH_LIMIT: f64 = 4.6;

/// The troubles of a run, in the order a cook meets them.
pub(crate) fn trouble(plan: &Plan) -> Markup {
    html! {
        (one("The boil is lost, even for a moment", "Back to a full boil, then the full time again", &html! {
            p { (again(plan)) " Minutes from before do not count. Write down when, and for how long." }
        }))
        (one("The last jar is colder than the schedule allows, or anything else departs", "Stop. Write it down. Hold the load", &html! {
            p { "A longer time, thought of at the stove, does not mend it." }
        }))
        (one("A jar breaks in the bath", "Heat off. Hands out. Let it cool", &html! {
            p {
                "Throw its food away. Lift the others out with tongs, look at each for chips and cracks; in doubt, throw away. "
                "Empty the bath, count the pieces, fresh water. Whole jars get the full time again from a full boil."
            }
        }))
        (one("Glass may be in the food", "Throw the batch away", &html! {
            p { "Straining does not find glass. Write down the lot code and where the pieces lay." }
        }))
        (one("A jar has not sealed", "Into the refrigerator at once", &html! {
            p { "At the latest " span class="strong" { "24 h after it left the bath" } ": the hour is on \u{201c}Batch by batch\u{201d}." (chilled(plan)) }
        }))
        (one(&format!("A jar\u{2019}s pH is above {PH_LIMIT}, or above your schedule\u{2019}s own limit"), "Hold the whole batch, cold", &html! {
            p {
                "Within the meter\u{2019}s own width of the limit counts as above. None leaves. Measure a second jar with a checked meter, "
                "then ask the process authority. No acid goes into closed jars."
            }
        }))
        (one("A burn or a scald", "Cool running water, at once", &html! {
            p { "Large, deep, or on face or hands: call for help." }
        }))
        p class="small after" { "Sources: pH limit, 21 CFR 114; unsealed jars, USDA Complete Guide 1994 and the two publishers named. All else is common practice." }
    }
}

/// The full time of each formula, said once.
fn again(plan: &Plan) -> String {
    let mut loads: Vec<&LoadPlan> = Vec::new();
    for load in &plan.loads {
        if !loads.iter().any(|l| l.formula == load.formula) {
            loads.push(load);
        }
    }
    let each = loads.iter().map(|load| match &load.hold {
        Some(hold) => format!("{}: {} from the new full boil.", load.formula, words::value(hold)),
        None => format!("{}: no tested time.", load.formula),
    });
    each.collect::<Vec<_>>().join(" ")
}

/// How long a jar that did not seal keeps: published for that case, not for food chilled fresh.
///
/// # Source
/// `usda_garden_produce`, page 26: a day or two; `kstate_canning`, unsealed jars: a week.
fn chilled(plan: &Plan) -> Markup {
    let closed = plan
        .verdicts
        .iter()
        .filter(|v| v.route == "refrigerator" && v.state == "closed");
    html! {
        " Publishers differ: eat it within a day or two (USDA), within a week (Kansas State). Take the shorter."
        @for verdict in closed {
            " " (verdict.formula) ": the refrigerator is closed for it, throw it away."
        }
    }
}

fn one(when: &str, then: &str, how: &Markup) -> Markup {
    html! {
        div class="wrong" {
            (drawing::ladle())
            div { p class="if" { (when) } p class="then" { (then) } (how) }
        }
    }
}
