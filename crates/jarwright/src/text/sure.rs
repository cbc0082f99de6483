//! How sure the dose in the middle of a jar is, as text and for machines.

use jarwright_dose::Estimate;
use jarwright_figure::BandKind;
use jarwright_kitchen::sure::{Found, JarStudy, OfPhase, Part, Sure, What};
use jarwright_papers::words::both_scales;
use serde::Serialize;

use super::page::{Page, significant};

const CAUTION: &str = "A computed chance explains a process and approves none. A published schedule governs: follow \
                       all of it, whatever the chance; this says by how much a departure hurts. The chance is worth \
                       what the bands are worth, and no more than the model: heat is taken to be conducted, and \
                       what is not among the bands is taken to be as written. Local law and a licensed authority \
                       decide.";

/// The study in plain words.
#[must_use]
pub fn sure(study: &JarStudy, sure: &Sure) -> String {
    let mut page = Page::new();
    let target = &sure.target;
    page.heading("How sure the dose in the middle is");
    page.item(
        2,
        "Asked       ",
        &format!(
            "{} decimal reductions, each {} min at {} (z {} K): {} min",
            target.decimal_reductions,
            target.d_min,
            both_scales(target.reference_c, 1),
            target.z_k,
            significant(target.needed_min(), 3)
        ),
    );
    page.item(
        2,
        "As written  ",
        &format!(
            "{} decimal reductions, {} min, by the case's own numbers",
            significant(sure.decimal_reductions, 3),
            significant(sure.dose_min, 3)
        ),
    );
    page.item(
        2,
        "Chance      ",
        &format!(
            "{} the middle gets what is asked ({} to {} in 100; {} draws)",
            chance_words(&sure.chance),
            floor(sure.chance.low),
            floor(sure.chance.high),
            sure.rising.len()
        ),
    );
    page.item(
        2,
        "Unlucky     ",
        &format!(
            "5 draws in 100 get less than {} decimal reductions{}; half get less than {}",
            significant(sure.p5.value, 2),
            between(&sure.p5),
            significant(sure.p50.value, 2)
        ),
    );
    page.item(2, "Hold        ", &hold(study, sure));
    page.heading("Measure this next");
    page.line(
        2,
        "Shares of the spread of the dose by factors: all that a number has a part in, and what it makes alone. The \
         last column is the middle's decimal reductions with that number alone at the end of its band that hurts.",
    );
    page.gap();
    page.table(2, &ranking(study, sure), &[false, true, true, true]);
    page.gap();
    page.item(2, "Bands  ", &bands(study, sure));
    page.gap();
    let unresolved = sure
        .ranking
        .iter()
        .filter(|part| !part.in_all.resolved() || !part.alone.resolved());
    if unresolved.count() > 0 {
        page.line(
            2,
            &format!(
                "Not resolved: the 95 % interval is wider than 10 %; more rows than --rows {} narrow it.",
                sure.effort.rows
            ),
        );
    }
    page.line(2, &format!("{} runs of the jar; seed {}.", sure.runs, sure.effort.seed));
    if let Some(off) = sure.off {
        page.line(
            2,
            &format!(
                "Draws go by the quicker solver; where both were run, it was off by {:.2} % of the dose at most.",
                100.0 * off
            ),
        );
    }
    page.gap();
    page.line(0, CAUTION);
    page.text()
}

/// `About 93 in 100 times`: never more than the whole hundred that the draws bear out.
#[must_use]
pub fn chance_words(chance: &Estimate) -> String {
    if chance.value >= 1.0 {
        return "In every draw".into();
    }
    if chance.value <= 0.0 {
        return "In no draw".into();
    }
    format!("About {} times in 100", floor(chance.value))
}

/// A share in hundredths, rounded down so that nothing is told as surer than it is.
fn floor(share: f64) -> String {
    let tenths = (share * 1000.0 + 1e-9).floor() / 10.0;
    if share > 0.0 && tenths <= 0.0 {
        return "less than 0.1".into();
    }
    if (tenths - 100.0).abs() < 1e-9 {
        "100".into()
    } else {
        format!("{tenths:.1}")
    }
}

/// ` (4.8 to 5.3)`, or nothing where a sample is too small to say.
fn between(of: &Estimate) -> String {
    if of.low.is_finite() && of.high.is_finite() {
        format!(" ({} to {})", significant(of.low, 2), significant(of.high, 2))
    } else {
        String::new()
    }
}

fn hold(study: &JarStudy, sure: &Sure) -> String {
    let Some(hold) = &sure.hold else {
        return "the case has no phase that heats".into();
    };
    let which = phase(study, hold.phase);
    let now = minutes(hold.now_s);
    match hold.found {
        Found::AsItIs => format!("{which} as it stands, {now}, does for 99 draws in 100; nothing shorter is sought"),
        Found::Longer { seconds, chance } => format!(
            "{which} of {} in place of {now} would do for 99 draws in 100 ({} to {} in 100 beyond these draws)",
            minutes(seconds),
            floor(chance.low),
            floor(chance.high)
        ),
        Found::None => format!("{which} does not do for 99 draws in 100, were it four hours longer than its {now}"),
    }
}

/// Minutes rounded up to a tenth.
fn minutes(seconds: f64) -> String {
    format!("{:.1} min", (seconds / 6.0 - 1e-9).ceil() / 10.0)
}

fn ranking(study: &JarStudy, sure: &Sure) -> Vec<Vec<String>> {
    let head = ["", "in all", "alone", "at its worse end"].map(str::to_owned).to_vec();
    let row = |part: &Part| {
        vec![
            name(study, part.of.what),
            percents(&part.in_all),
            percents(&part.alone),
            format!("{} at {}", significant(part.worse_reductions, 2), part.worse_end),
        ]
    };
    std::iter::once(head).chain(sure.ranking.iter().map(row)).collect()
}

/// Every band as it was written.
fn bands(study: &JarStudy, sure: &Sure) -> String {
    let one = |part: &Part| {
        let (low, high) = (part.of.low, part.of.high);
        let (name, unit) = (name(study, part.of.what), unit(part.of.what));
        format!("{name} {low} to {high}{unit} ({})", said(part.of.said))
    };
    let all: Vec<String> = sure.ranking.iter().map(one).collect();
    all.join("; ")
}

/// `52 % (49 to 55)`, or that it is not resolved.
#[must_use]
pub fn percents(share: &Estimate) -> String {
    let percent = |share: f64| format!("{:.0}", (100.0 * share).round() + 0.0);
    if share.high < 0.01 {
        return "under 1 %".into();
    }
    if share.resolved() {
        format!(
            "{} % ({} to {})",
            percent(share.value),
            percent(share.low),
            percent(share.high)
        )
    } else {
        "not resolved".into()
    }
}

fn phase(study: &JarStudy, index: usize) -> String {
    match study.phases.get(index) {
        Some(Some(name)) => format!("phase \"{name}\""),
        _ => format!("phase {}", index + 1),
    }
}

/// What is uncertain, in words.
#[must_use]
pub fn name(study: &JarStudy, what: What) -> String {
    let of_food = |words: &str| format!("{words} of the food");
    match what {
        What::Conductivity => of_food("conductivity"),
        What::Density => of_food("density"),
        What::HeatCapacity => of_food("heat capacity"),
        What::Start => "temperature at the fill".into(),
        What::Thermometer => "error of the thermometer".into(),
        What::D => "D of the target".into(),
        What::Z => "z of the target".into(),
        What::Bath => "bath: film on side and base".into(),
        What::Phase(index, of) => {
            let words = match of {
                OfPhase::Seconds => "length",
                OfPhase::AmbientStart => "surroundings at the start",
                OfPhase::AmbientEnd => "surroundings at the end",
                OfPhase::Side => "film on the side",
                OfPhase::Base => "film on the base",
                OfPhase::Water => "film on side and base",
                OfPhase::Top => "film on the top",
            };
            match study.phases.get(index) {
                Some(Some(name)) => format!("{name}: {words}"),
                _ => format!("phase {}: {words}", index + 1),
            }
        }
    }
}

const fn unit(what: What) -> &'static str {
    match what {
        What::Conductivity => " W/(m K)",
        What::Density => " kg/m³",
        What::HeatCapacity => " J/(kg K)",
        What::Start => " °C",
        What::Thermometer | What::Z => " K",
        What::D => " min",
        What::Bath => " W/(m² K)",
        What::Phase(_, of) => match of {
            OfPhase::Seconds => " s",
            OfPhase::AmbientStart | OfPhase::AmbientEnd => " °C",
            OfPhase::Side | OfPhase::Base | OfPhase::Water | OfPhase::Top => " W/(m² K)",
        },
    }
}

const fn said(kind: BandKind) -> &'static str {
    match kind {
        BandKind::P5P95 => "p5-p95",
        BandKind::PrintedRange => "printed range",
        BandKind::Instrument => "instrument",
        BandKind::Exact => "exact",
    }
}

/// The study for machines.
#[derive(Debug, Serialize)]
pub struct Told {
    reference_c: f64,
    z_k: f64,
    d_min: f64,
    asked_decimal_reductions: f64,
    needed_min: f64,
    as_written: AsWritten,
    chance: Interval,
    decimal_reductions_p5: Interval,
    decimal_reductions_p50: Interval,
    decimal_reductions_p95: Interval,
    hold: Option<ToldHold>,
    measure_next: Vec<ToldPart>,
    draws: usize,
    runs: usize,
    rows: usize,
    seed: u64,
    caution: &'static str,
}

#[derive(Debug, Serialize)]
struct AsWritten {
    dose_min: f64,
    decimal_reductions: f64,
}

/// An estimate and its 95 % interval; an end that the draws do not bound is left out.
#[derive(Debug, Serialize)]
struct Interval {
    value: f64,
    low: Option<f64>,
    high: Option<f64>,
}

#[derive(Debug, Serialize)]
struct ToldHold {
    phase: String,
    now_s: f64,
    does: bool,
    for_99_in_100_s: Option<f64>,
    chance: Option<Interval>,
}

#[derive(Debug, Serialize)]
struct ToldPart {
    key: &'static str,
    phase: Option<usize>,
    name: String,
    low: f64,
    high: f64,
    band: BandKind,
    total: Interval,
    total_resolved: bool,
    first_order: Interval,
    first_order_resolved: bool,
    worse_end: f64,
    decimal_reductions_at_worse_end: f64,
}

fn interval(of: &Estimate) -> Interval {
    let finite = |end: f64| end.is_finite().then_some(end);
    Interval {
        value: of.value,
        low: finite(of.low),
        high: finite(of.high),
    }
}

impl Told {
    /// What machines are told.
    #[must_use]
    pub fn new(study: &JarStudy, sure: &Sure) -> Self {
        let part = |part: &Part| ToldPart {
            key: part.of.what.key(),
            phase: match part.of.what {
                What::Phase(index, _) => Some(index + 1),
                _ => None,
            },
            name: name(study, part.of.what),
            low: part.of.low,
            high: part.of.high,
            band: part.of.said,
            total: interval(&part.in_all),
            total_resolved: part.in_all.resolved(),
            first_order: interval(&part.alone),
            first_order_resolved: part.alone.resolved(),
            worse_end: part.worse_end,
            decimal_reductions_at_worse_end: part.worse_reductions,
        };
        let hold = sure.hold.as_ref().map(|hold| {
            let longer = match &hold.found {
                Found::Longer { seconds, chance } => Some((*seconds, interval(chance))),
                Found::AsItIs | Found::None => None,
            };
            let (for_99_in_100_s, chance) = longer.unzip();
            ToldHold {
                phase: phase(study, hold.phase),
                now_s: hold.now_s,
                does: hold.found == Found::AsItIs,
                for_99_in_100_s,
                chance,
            }
        });
        Self {
            reference_c: sure.target.reference_c,
            z_k: sure.target.z_k,
            d_min: sure.target.d_min,
            asked_decimal_reductions: sure.target.decimal_reductions,
            needed_min: sure.target.needed_min(),
            as_written: AsWritten {
                dose_min: sure.dose_min,
                decimal_reductions: sure.decimal_reductions,
            },
            chance: interval(&sure.chance),
            decimal_reductions_p5: interval(&sure.p5),
            decimal_reductions_p50: interval(&sure.p50),
            decimal_reductions_p95: interval(&sure.p95),
            hold,
            measure_next: sure.ranking.iter().map(part).collect(),
            draws: sure.rising.len(),
            runs: sure.runs,
            rows: sure.effort.rows,
            seed: sure.effort.seed,
            caution: CAUTION,
        }
    }
}
