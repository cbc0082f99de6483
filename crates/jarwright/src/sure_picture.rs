//! How sure a dose is, as a picture.

use jarwright_dose::Estimate;
use jarwright_kitchen::sure::{JarStudy, Part, Sure};
use jarwright_papers::drawing::{Asked, CauseBar, Odds, ShareBar, odds};

use crate::text::page::significant;
use crate::text::sure::{chance_words, name, percents};

/// The spread of the dose with what was asked, and what the spread comes from.
#[must_use]
pub fn drawn(study: &JarStudy, sure: &Sure) -> Option<String> {
    let picture = Odds {
        id: "sure".into(),
        title: format!("{} the middle gets what is asked", chance_words(&sure.chance)),
        desc: "Decimal reductions in the middle of a jar over all draws of what is uncertain, those below what \
               is asked dark; under it the share of each uncertain number in that spread."
            .into(),
        across: "decimal reductions in the middle".into(),
        rising: sure.rising.clone(),
        asked: Asked {
            value: sure.target.decimal_reductions,
            words: format!("asked: {}", sure.target.decimal_reductions),
        },
        percentile: Asked {
            value: sure.p5.value,
            words: format!("5 draws in 100 get less than {}", significant(sure.p5.value, 2)),
        },
        causes_title: "Measure this next: share of the spread".into(),
        causes: sure.ranking.iter().map(|part| bar(study, part)).collect(),
        below: vec![
            "Open bar: all that a number has a part in, its 95 % interval under it. Dark bar: what it makes alone."
                .into(),
            "A computed chance explains a process and approves none; local law and a licensed authority decide.".into(),
        ],
    };
    odds(&picture).map(|svg| svg.into_string())
}

fn bar(study: &JarStudy, part: &Part) -> CauseBar {
    let share = |of: &Estimate| ShareBar {
        value: of.value,
        low: of.low,
        high: of.high,
    };
    CauseBar {
        words: name(study, part.of.what),
        alone: share(&part.alone),
        in_all: share(&part.in_all),
        told: percents(&part.in_all),
    }
}
