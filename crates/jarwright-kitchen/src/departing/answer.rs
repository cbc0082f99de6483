//! What a departure is answered with.

use jarwright_figure::Figure;
use serde::Serialize;

/// A planned jar with something changed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Departed {
    /// Formula's name.
    pub formula: String,
    /// Food when it is filled.
    pub fill: Figure,
    /// Bath when the jars go in.
    pub bath_start: Figure,
    /// From jars in to the boil.
    pub come_up: Figure,
    /// Minutes at the boil; absent without a process.
    pub hold: Option<Figure>,
    /// What water boils at.
    pub water_boils: Figure,
    /// What the schedule or letter asks, one by one.
    pub conditions: Vec<Condition>,
    /// Whether the shelf stays as planned.
    pub ruling: Ruling,
    /// What is around the jar: minutes from the pot, and °C; a jump is two points at one time.
    pub medium: Vec<(f64, f64)>,
    /// The stretches of the jar's way, in order; empty without a process.
    pub way: Vec<WayStretch>,
    /// What the cold spot gets; absent where it is not computed.
    pub spot: Option<DepartedSpot>,
    /// Why it is not computed.
    pub not_computed: Option<String>,
}

/// Whether a condition is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Kept {
    /// As the schedule asks.
    #[serde(rename = "kept")]
    Kept,
    /// Not as the schedule asks.
    #[serde(rename = "departed from")]
    DepartedFrom,
}

/// One condition of the schedule or letter.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Condition {
    /// Which: `fill temperature`, `bath start`, `come-up`, `process time`, `altitude`, `jar`,
    /// `wait`, `schedule`.
    pub what: &'static str,
    /// What is asked, in words, with both temperature scales.
    pub asked: String,
    /// What is here, in words.
    pub here: String,
    /// Least that is asked; absent where nothing is too little.
    pub least: Option<f64>,
    /// Most that is asked; absent where nothing is too much.
    pub most: Option<f64>,
    /// What is here, in the same unit; absent where it is no number.
    pub value: Option<f64>,
    /// Unit of the three.
    pub unit: &'static str,
    /// Whether it is kept.
    pub state: Kept,
    /// Whether the departure is on the side that may hurt; it keeps the shelf closed.
    pub may_hurt: bool,
}

/// What becomes of the shelf.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ruling {
    /// `open`, `only-with` or `closed`, never more open than the plan's.
    pub shelf: &'static str,
    /// Why.
    pub why: Vec<String>,
}

/// A reading of the cold spot with its band.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CurvePoint {
    /// Minutes from the pot.
    pub minutes: f64,
    /// Central run [°C].
    pub c: f64,
    /// 5th percentile of the draws [°C], never above `c`.
    pub low_c: f64,
    /// 95th percentile [°C], never below `c`.
    pub high_c: f64,
}

/// A stretch of a jar's way.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WayStretch {
    /// `wait between pot and bath`, `come-up`, `at the boil` or `cooling`.
    pub stretch: &'static str,
    /// When it begins [min from the pot].
    pub from_min: f64,
    /// When it ends [min from the pot].
    pub until_min: f64,
    /// Whether the jar stands in water, and not in air.
    pub in_water: bool,
}

/// The dose of the central run up to a moment.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DoseSoFar {
    /// The moment [min from the pot].
    pub minutes: f64,
    /// What came until then while the jar was not yet out of the bath [min at the reference].
    pub heating_min: f64,
    /// What came until then after that [min at the reference].
    pub cooling_min: f64,
}

/// A dose at the cold spot [min at the target's reference temperature].
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Dose {
    /// Central run, with its band.
    pub minutes: Figure,
    /// 5th percentile of the draws.
    pub p5: f64,
    /// 50th percentile.
    pub p50: f64,
    /// 95th percentile.
    pub p95: f64,
    /// Central run over the target.
    pub of_target: f64,
    /// Share of draws that reach the target.
    pub chance: f64,
}

/// The dose of one stretch of the jar's way.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StretchDose {
    /// `wait between pot and bath`, `come-up`, `at the boil` or `cooling`.
    pub stretch: &'static str,
    /// What it gives.
    pub dose: Dose,
    /// Its share in the whole dose in the jar.
    pub share: f64,
}

/// A dose over the jar's whole volume, of the central run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VolumeDose {
    /// Mean by volume.
    pub mean: Figure,
    /// Half of the volume gets less.
    pub median: Figure,
    /// Least anywhere.
    pub lowest: Figure,
}

/// What the cold spot gets.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DepartedSpot {
    /// Draws that the band is of.
    pub runs: usize,
    /// Of them, draws without an answer, left out as the plan leaves them out: the pot or the bath
    /// never gets there in them.
    pub refused: usize,
    /// The cold spot's temperature; its band, as the peak's, is of 512 of the draws at most.
    pub curve: Vec<CurvePoint>,
    /// The central run's dose, moment by moment.
    pub so_far: Vec<DoseSoFar>,
    /// When the water boils.
    pub at_boil: Figure,
    /// At the end of the time.
    pub at_end: Figure,
    /// Highest, after the jar has left the bath.
    pub peak: Figure,
    /// Dose until the jar leaves the bath.
    pub heating: Dose,
    /// Dose after that.
    pub cooling: Dose,
    /// Both.
    pub whole: Dose,
    /// The whole by stretches, in order.
    pub stretches: Vec<StretchDose>,
    /// Until the jar leaves the bath, over the volume.
    pub volume_heating: VolumeDose,
    /// The whole, over the volume.
    pub volume_whole: VolumeDose,
    /// In the pot before, of what cooks in it from the start; counted nowhere else.
    pub pot: Figure,
    /// Published target's title.
    pub target: String,
    /// Minutes it asks for.
    pub target_min: f64,
    /// Its reference temperature [°C].
    pub ref_c: f64,
    /// Its z [K].
    pub z_k: f64,
    /// 5th and 95th percentile of the heating dose over that of the published conditions at sea
    /// level.
    pub heating_of_reference: Option<(f64, f64)>,
}
