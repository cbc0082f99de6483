//! What a watched pot is answered with.

use jarwright_figure::Figure;
use serde::Serialize;

use crate::plan::Caution;

/// A planned pot with something changed, watched from the heat on to the end.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PotWatched {
    /// Formula's name.
    pub formula: String,
    /// Pot's name.
    pub pot: String,
    /// How it is heated: `open-pan`, `bowl-over-steam` or `kettle`.
    pub kind: &'static str,
    /// What was reckoned with.
    pub with: PotWith,
    /// From the heat on to the end, with the plan's own band.
    pub minutes: Figure,
    /// Water that goes off [g].
    pub evaporated: Figure,
    /// Temperature at the end [°C].
    pub end: Figure,
    /// Draws that the bands are of: the plan's own.
    pub draws: usize,
    /// Of them, draws in which the pot never gets there; they are left out, as the plan leaves them out.
    pub never: usize,
    /// The pot all along, to the end of the slow draws.
    pub curve: Vec<PotPoint>,
    /// The food at the wall; absent where it is not computed.
    pub wall: Option<PotWall>,
    /// Why the wall is not computed.
    pub no_wall: Option<String>,
    /// What becomes of the egg; absent without egg and where the wall is not computed.
    pub egg: Option<PotEgg>,
    /// Temperatures to draw beside the curve.
    pub levels: Vec<PotLevel>,
    /// What boiling down does; absent where the pot is only heated.
    pub boil: Option<PotBoil>,
    /// Largest potful here; absent where none gets there.
    pub largest: Option<LargestPotful>,
    /// Where two potfuls are quicker.
    pub splitting: Splitting,
    /// What was assumed, what is extrapolated, what to mind.
    pub notes: Vec<String>,
    /// What may hurt someone at this pot.
    pub cautions: Vec<Caution>,
}

/// What a pot was reckoned with, changed or as planned.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PotWith {
    /// All food that goes on the heat [kg].
    pub food_kg: f64,
    /// Jars that it is for, by the planned food a jar.
    pub jars: f64,
    /// Share of the planned batch.
    pub of_batch: f64,
    /// Share of the pot's volume that it fills.
    pub full_share: f64,
    /// Share of the burner's rating that is turned on.
    pub burner_share: f64,
    /// Food when the heat goes on [°C].
    pub start_c: f64,
    /// Rounds of the spoon a minute; 0 where nobody stirs.
    pub stirs_per_min: f64,
}

/// One moment of the pot.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PotPoint {
    /// Minutes from the heat on.
    pub minutes: f64,
    /// Mean temperature of the central run [°C]; absent after its end.
    pub c: Option<f64>,
    /// 5th percentile of the draws [°C], never above `c`; a draw that is done counts with its end.
    pub low_c: f64,
    /// 95th percentile [°C], never below `c`.
    pub high_c: f64,
    /// Food at the wall [°C].
    pub wall_c: Option<f64>,
    /// Soluble solids [°Brix].
    pub brix: Option<f64>,
    /// Share of the egg that has set, in the middle.
    pub set_share: Option<f64>,
    /// Share of it that has scrambled, in the middle.
    pub scrambled_share: Option<f64>,
    /// Share of the egg in the film at the wall that is scrambled when it is stirred away.
    pub wall_scrambled_share: Option<f64>,
}

/// The food at the wall.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PotWall {
    /// Hottest it gets [°C].
    pub hottest_c: f64,
    /// Most that it is hotter than the mean [K].
    pub most_above_mean_k: f64,
    /// How much hotter the pot gets once off the heat, from metal and film alone [K].
    pub carry_over_k: f64,
    /// By how much the pot followed with its wall takes longer than the plan's cook, as a share of it.
    pub longer_than_plan_share: f64,
}

/// A share for the usual shift of egg's setting by sugar, and for the shifts at the ends of what is printed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct EggShare {
    /// For the usual shift.
    pub value: f64,
    /// For the greatest shift.
    pub low: f64,
    /// For the least.
    pub high: f64,
}

/// What becomes of the egg. Extrapolated.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PotEgg {
    /// Set in the middle at the end.
    pub set: EggShare,
    /// Scrambled in the middle at the end.
    pub scrambled: EggShare,
    /// Scrambled in the film at the wall, where it is worst.
    pub wall_scrambled: EggShare,
    /// Mean temperature at which half of the egg had set in this cook [°C]; absent where it did not.
    pub half_set_c: Option<f64>,
    /// Temperature at which half of the egg sets in a minute [°C].
    pub half_sets_in_a_minute_c: Option<f64>,
    /// Wall temperature at which half the egg in the film scrambles before it is stirred away [°C].
    pub wall_scrambles_c: Option<f64>,
}

/// A temperature to draw beside the curve.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PotLevel {
    /// Which: `stop`, `water boils here`, `egg sets` or `egg at the wall scrambles`.
    pub what: &'static str,
    /// Where [°C].
    pub c: f64,
    /// What it means, with both temperature scales.
    pub words: String,
}

/// What boiling down does.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PotBoil {
    /// Whether it comes to its own boil; else it stands and steams, and no thermometer shows the end.
    pub boils: bool,
    /// Minutes until it boils; absent where it does not.
    pub boils_after_min: Option<f64>,
    /// Soluble solids before [°Brix].
    pub start_brix: f64,
    /// Soluble solids at the end [°Brix].
    pub end_brix: f64,
}

/// The largest potful.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LargestPotful {
    /// All food that goes on the heat [kg].
    pub food_kg: f64,
    /// Jars that it is for, by the planned food a jar.
    pub jars: f64,
    /// How long it cooks [min].
    pub minutes: f64,
    /// What bounds it: `pot` or `heat`.
    pub bound_by: &'static str,
}

/// Where two potfuls one after the other are quicker than one.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Splitting {
    /// From this much food on [kg]; absent where one is the quicker up to the largest potful.
    pub from_kg: Option<f64>,
    /// The same in jars.
    pub from_jars: Option<f64>,
    /// This food in two potfuls, with the change between them [min]; absent where half never gets there.
    pub in_two_min: Option<f64>,
    /// Emptying, wiping and filling between two potfuls [min].
    pub change_min: f64,
}
