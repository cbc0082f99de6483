//! A formula worked through: everything the plan's views, clock, buying and cost read.

use jarwright_figure::{Graph, Id};
use jarwright_reference::{self as reference, FoodClass};

use crate::batching::Batch;
use crate::bathing::Load;
use crate::clock::Turn;
use crate::cold_spot::Spot;
use crate::cooking::{CookCase, Stop};
use crate::files::{Burner, FormulaFile, Pot};
use crate::inside::Standing;
use crate::lines::Line;
use crate::plan::{Caution, Verdict};
use crate::sizing::{Counts, Size};
use crate::through_bath::Way;
use crate::words;

/// A formula worked through.
#[derive(Debug, Clone)]
pub(crate) struct Work {
    pub(crate) formula: FormulaFile,
    pub(crate) food: FoodClass,
    pub(crate) jar_name: String,
    pub(crate) lines: Vec<Line>,
    pub(crate) size: Size,
    pub(crate) counts: Counts,
    pub(crate) failure: Id,
    pub(crate) correlation: Id,
    pub(crate) from_on_hand: Option<String>,
    pub(crate) sieved: bool,
    pub(crate) pot: Pot,
    pub(crate) burner: Burner,
    pub(crate) efficiency: Id,
    /// Steam to stirred food, where the pot stands over it.
    pub(crate) steam_u: Id,
    /// The pot with one multiple, for asking again with something changed.
    pub(crate) case: CookCase,
    pub(crate) batch: Batch,
    pub(crate) bound_by: String,
    pub(crate) all_at_once: String,
    pub(crate) notes: Vec<String>,
    pub(crate) stop: Stop,
    pub(crate) stop_c: Option<Id>,
    pub(crate) fill_c: Id,
    pub(crate) fill_min: Id,
    pub(crate) prepare_min: Id,
    pub(crate) wait_h: Id,
    pub(crate) standing: Standing,
    pub(crate) departures: Vec<String>,
    pub(crate) hold: Option<Id>,
    pub(crate) turn_min: Id,
    pub(crate) bath_name: String,
    pub(crate) bath_efficiency: Id,
    pub(crate) places: usize,
    pub(crate) start_c: Id,
    pub(crate) load: Load,
    pub(crate) load_notes: Vec<String>,
    pub(crate) spot: Option<Spot>,
    pub(crate) way: Way,
    pub(crate) letter: bool,
    pub(crate) spot_target: Option<&'static reference::Harbour>,
    pub(crate) not_computed: Option<String>,
    pub(crate) verdicts: Vec<Verdict>,
    pub(crate) cautions: Vec<Caution>,
    pub(crate) fruit_share: f64,
    pub(crate) fat_g_per_kg: f64,
    pub(crate) yolk_solids_g_per_kg: f64,
}

impl Work {
    /// What the pot stops at, in words with both scales.
    pub(crate) fn stop_words(&self, graph: &Graph) -> String {
        let here = self.stop_c.map(|id| words::fine_temperature(graph.value(id)));
        match (self.stop, here) {
            (Stop::Temperature(c), _) => words::fine_temperature(c),
            (Stop::Brix(brix), Some(here)) => format!("{brix:.0} °Brix of the whole food, {here} here"),
            (Stop::Brix(brix), None) => format!("{brix:.0} °Brix of the whole food"),
            (Stop::Boiled(s), _) => format!("{:.0} min at the boil", s / 60.0),
            (Stop::AtTheBoil, _) => "the boil".into(),
        }
    }

    /// The batches as turns of the clock.
    pub(crate) fn turns(&self, graph: &Graph) -> Vec<Turn> {
        let at = |id: Id| graph.value(id);
        let hold = self.hold.map_or(0.0, at);
        let come_up = if self.hold.is_some() {
            at(self.load.come_up)
        } else {
            0.0
        };
        // Into pans and away takes about what unloading and reloading a bath does.
        let turn_round = if self.hold.is_some() {
            at(self.load.cycle) - come_up - hold
        } else {
            at(self.turn_min)
        };
        (1..=self.size.batches)
            .map(|batch| Turn {
                formula: self.formula.name.clone(),
                batch,
                bath: self.hold.is_some(),
                cook_min: at(self.batch.cook_min),
                fill_min: at(self.fill_min),
                come_up_min: come_up,
                hold_min: hold,
                turn_round_min: turn_round.max(0.0),
                wait_min: 60.0 * at(self.wait_h),
            })
            .collect()
    }

    /// Lines with their mass in one batch.
    pub(crate) fn in_batch(&self) -> Vec<(&Line, Id)> {
        self.lines.iter().zip(self.batch.masses_g.iter().copied()).collect()
    }
}
