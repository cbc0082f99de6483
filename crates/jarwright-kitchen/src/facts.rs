//! Everything the rules may ask, told from the plan; what is not known is left out.

use jarwright_figure::Graph;
use jarwright_reference::{self as reference, Fact, Kind};

use crate::batching::Batch;
use crate::files::{FormulaFile, GoesIn, InstrumentKind, KitchenFile};
use crate::inside::Standing;
use crate::lines::Line;
use crate::routes;
use crate::verdict::Facts;

/// Everything the rules may ask.
#[expect(
    clippy::too_many_arguments,
    reason = "one call, everything it needs is at hand there"
)]
pub(crate) fn facts(
    graph: &Graph,
    formula: &FormulaFile,
    kitchen: &KitchenFile,
    batch: &Batch,
    standing: &Standing,
    departures: &[String],
    composition: &routes::Composition,
    letter: bool,
    lines: &[Line],
    heated_c: f64,
    end_brix: f64,
    chill: Option<&routes::Chill>,
) -> Facts {
    let mut facts = Facts::new();
    let mut know = |fact: Fact, value: f64| {
        if value.is_finite() {
            facts.insert(fact, value);
        }
    };
    let yes = |b: bool| if b { 1.0 } else { 0.0 };
    let measured = formula.measured.as_ref();
    match measured.and_then(|m| m.ph) {
        // A measured pH is good less its instrument's guard band.
        Some(ph) => {
            let guard = guard(formula, kitchen, InstrumentKind::PhMeter);
            know(Fact::Ph, ph);
            know(Fact::PhLow, ph - guard);
            know(Fact::PhHigh, ph + guard);
        }
        None => {
            if let Some(id) = batch.filled.ph {
                let (low, high) = graph.band(id);
                know(Fact::Ph, graph.value(id));
                know(Fact::PhLow, low);
                know(Fact::PhHigh, high);
            }
        }
    }
    know(
        Fact::PhKnown,
        yes(batch.filled.ph.is_some() || measured.is_some_and(|m| m.ph.is_some())),
    );
    know(Fact::PhMeasured, yes(measured.is_some_and(|m| m.ph.is_some())));
    let (aw_low, aw_high) = graph.band(batch.filled.water_activity);
    let aw = measured.and_then(|m| m.water_activity);
    // No kind of meter for it stands in a kitchen file: what was read is taken with the miss of
    // the computed one.
    let miss = reference::practice("aw_model_miss").map_or(0.0, |p| p.value.high);
    know(
        Fact::WaterActivity,
        aw.unwrap_or(graph.value(batch.filled.water_activity)),
    );
    know(Fact::WaterActivityLow, aw.map_or(aw_low, |a| a - miss));
    know(Fact::WaterActivityHigh, aw.map_or(aw_high, |a| a + miss));
    let brix_guard = guard(formula, kitchen, InstrumentKind::Refractometer);
    know(
        Fact::Brix,
        measured.and_then(|m| m.brix).map_or(end_brix, |b| b - brix_guard),
    );
    know(Fact::BrixMeasured, yes(measured.is_some_and(|m| m.brix.is_some())));
    know(Fact::FruitShare, standing.fruit_share);
    know(Fact::FruitGPerKg, composition.fruit_g_per_kg);
    know(Fact::FatGPerKg, composition.fat_g_per_kg);
    know(Fact::YolkSolidsGPerKg, composition.yolk_solids_g_per_kg);
    let inside = standing.inside() && departures.is_empty();
    know(Fact::InSchedule, yes(inside && !standing.by_class()));
    know(Fact::InClassSchedule, yes(inside && standing.by_class()));
    let from_memory = inside
        && standing.schedule.is_some_and(|s| {
            !s.scope_may_open() || !s.conditions_may_open() || standing.band.is_none_or(|b| !b.minutes.mark.may_open())
        });
    know(Fact::ScheduleFromMemory, yes(from_memory));
    know(Fact::ScheduleClaimed, yes(formula.schedule.is_some()));
    know(Fact::LetterInForce, yes(letter));
    let has = |kind: Kind| lines.iter().any(|l| l.ingredient.kind == kind);
    know(Fact::Alliums, yes(has(Kind::Allium)));
    know(Fact::Oil, yes(composition.oil_share > 0.02));
    know(Fact::Egg, yes(has(Kind::Egg)));
    know(
        Fact::Dairy,
        yes(has(Kind::Dairy)
            || lines
                .iter()
                .any(|l| l.ingredient.allergens_us.iter().any(|a| a == "milk"))),
    );
    know(Fact::LowAcidShare, composition.low_acid_share);
    // A dial that reads high stops too early, and egg stirred in off the heat is only as hot as what it meets.
    let thermometer = guard(formula, kitchen, InstrumentKind::Thermometer);
    let late_egg = lines
        .iter()
        .any(|l| l.ingredient.kind == Kind::Egg && l.written.goes_in == GoesIn::End);
    let core_c = if late_egg {
        graph.band(batch.filled.at_c).0
    } else {
        heated_c
    };
    know(Fact::HeatedToC, core_c - thermometer);
    know(Fact::SealTested, 0.0);
    know(Fact::HasRefrigerator, yes(!kitchen.refrigerators.is_empty()));
    know(Fact::HasFreezer, yes(kitchen.freezer.is_some()));
    if let Some(cold) = kitchen.refrigerators.iter().map(|r| r.keeps_c).reduce(f64::min) {
        know(Fact::KeptAtC, cold);
    }
    if let Some(chill) = chill {
        know(Fact::DepthMm, chill.depth_mm);
        know(Fact::ChillsInTime, yes(chill.passes));
    }
    facts
}

/// How far an instrument may be off: the one named with the measurement, else the worst of its
/// kind in the kitchen, else the high end of common practice.
pub(crate) fn guard(formula: &FormulaFile, kitchen: &KitchenFile, kind: InstrumentKind) -> f64 {
    let named = formula.measured.as_ref().and_then(|m| m.instrument.as_ref());
    let of_kind = || kitchen.instruments.iter().filter(|i| i.kind == kind);
    if let Some(named) = named
        && let Some(instrument) = of_kind().find(|i| &i.name == named)
    {
        return instrument.plus_minus;
    }
    if let Some(worst) = of_kind().map(|i| i.plus_minus).reduce(f64::max) {
        return worst;
    }
    let key = match kind {
        InstrumentKind::PhMeter => "ph_meter_half_width",
        InstrumentKind::Refractometer => "refractometer_half_width_brix",
        InstrumentKind::Thermometer => "thermometer_half_width_c",
        InstrumentKind::Scale => "scale_half_width_g",
    };
    reference::practice(key).map_or(f64::INFINITY, |p| p.value.high)
}

/// Highest pH that must be reckoned with: measured plus its guard, else the high end of the
/// computed band; `None` when it is unknown.
pub(crate) fn ph_high(graph: &Graph, formula: &FormulaFile, kitchen: &KitchenFile, batch: &Batch) -> Option<f64> {
    match formula.measured.as_ref().and_then(|m| m.ph) {
        Some(ph) => Some(ph + guard(formula, kitchen, InstrumentKind::PhMeter)),
        None => batch.filled.ph.map(|id| graph.band(id).1),
    }
}
