//! What a plan is: the answer to an order, every number a [`Figure`].
//!
//! Pure data, no rules and no arithmetic: [`crate::planning`] fills it, the program, the pages
//! and the papers show it. The field names are the keys of the program's JSON.

use std::collections::BTreeMap;

use jarwright_figure::Figure;
use serde::Serialize;

/// The whole run.
#[derive(Debug, Clone, Serialize)]
pub struct Plan {
    /// The order as understood, and whether it can be met.
    pub run: Run,
    /// One weighing sheet a formula; every batch of a formula is alike.
    pub weigh: Vec<WeighingSheet>,
    /// The food at each stage.
    pub stages: Vec<Stage>,
    /// The potfuls.
    pub batches: Vec<BatchPlan>,
    /// The fillings of the bath.
    pub loads: Vec<LoadPlan>,
    /// What each jar gets in the bath, and what that does.
    pub process: Vec<Process>,
    /// Where the jars may be kept.
    pub verdicts: Vec<Verdict>,
    /// When what happens.
    pub clock: Clock,
    /// What one sold jar costs.
    pub cost: Vec<CostSheet>,
    /// What to buy and what is left over.
    pub buy: Vec<BuyLine>,
    /// What could hurt someone.
    pub cautions: Vec<Caution>,
    /// Draft labels.
    pub labels: Vec<Label>,
    /// Every quantity behind the figures, by handle: a figure's inputs are found here.
    pub quantities: BTreeMap<String, Figure>,
}

/// The order as understood.
#[derive(Debug, Clone, Serialize)]
pub struct Run {
    /// Kitchen's name.
    pub kitchen: String,
    /// Currency of all money figures.
    pub currency: String,
    /// `sale` or `own-use`.
    pub for_use: &'static str,
    /// `US`, `EU` or `UK`.
    pub market: &'static str,
    /// Height above sea level.
    pub altitude: Figure,
    /// What water boils at here.
    pub water_boils: Figure,
    /// One entry a formula, in hand order.
    pub orders: Vec<OrderLine>,
    /// Why the order cannot be met, and what would meet it; absent when it can.
    pub cannot: Option<Cannot>,
}

/// The order of one formula.
#[derive(Debug, Clone, Serialize)]
pub struct OrderLine {
    /// Formula's name.
    pub formula: String,
    /// Class of food.
    pub food: String,
    /// Jar's name.
    pub jar: String,
    /// Good jars promised.
    pub ordered: Figure,
    /// Jars to start, with pH jars, kept jars and spares for failed seals.
    pub started: Figure,
    /// Share of jars expected not to seal.
    pub failure_rate: Figure,
    /// Start count by the plain binomial, for comparison.
    pub started_if_independent: Figure,
    /// Chance that at least the ordered number comes out good.
    pub chance: Figure,
    /// How the number of jars was found when the run starts from what is on hand.
    pub from_on_hand: Option<String>,
}

/// Why not, and what would do.
#[derive(Debug, Clone, Serialize)]
pub struct Cannot {
    /// The reason.
    pub reason: String,
    /// What would meet the order.
    pub would: Vec<String>,
}

/// What to weigh for each batch of one formula.
#[derive(Debug, Clone, Serialize)]
pub struct WeighingSheet {
    /// Formula's name.
    pub formula: String,
    /// How many batches use this sheet.
    pub batches: usize,
    /// Multiple of the formula as written.
    pub multiple: Figure,
    /// Scale step the masses are rounded to.
    pub scale_step: Figure,
    /// Lines in the order they go in.
    pub lines: Vec<WeighLine>,
    /// Sum of what goes into the jars, soak left out, as computed.
    pub total: Figure,
    /// The same sum of the lines as rounded to the scale.
    pub total_on_scale: Figure,
}

/// One line of a weighing sheet.
#[derive(Debug, Clone, Serialize)]
pub struct WeighLine {
    /// Ingredient as the formula names it.
    pub ingredient: String,
    /// Form: superfine, chilled.
    pub form: String,
    /// Mass, computed.
    pub mass: Figure,
    /// Mass on the scale, rounded to its step.
    pub on_scale: Figure,
    /// The cook's own measure, scaled.
    pub measure: String,
    /// When it goes in.
    pub goes_in: String,
    /// What to do with it.
    pub step: String,
    /// `pot`, `pieces`, `brine`, `soak` or `jar`.
    pub part: String,
}

/// The food of one formula at one stage of one batch.
#[derive(Debug, Clone, Serialize)]
pub struct Stage {
    /// Formula's name.
    pub formula: String,
    /// `weighed`, `cooked`, `sieved`, `filled`.
    pub stage: &'static str,
    /// Mass of one batch.
    pub mass: Figure,
    /// What was lost on the way to this stage.
    pub lost: Option<Figure>,
    /// The assay.
    pub assay: Assay,
}

/// What is in a food and how it behaves. Absent figures are unknown, with the reason.
#[derive(Debug, Clone, Serialize)]
pub struct Assay {
    /// Water.
    pub water: Figure,
    /// Sugars.
    pub sugars: Figure,
    /// Fat.
    pub fat: Figure,
    /// Protein.
    pub protein: Figure,
    /// Acids, as themselves.
    pub acids: Figure,
    /// Soluble solids.
    pub brix: Figure,
    /// Water activity at 25 °C.
    pub water_activity: Figure,
    /// Equilibrium pH at 25 °C; absent when an ingredient's acidity is unknown.
    pub ph: Option<Figure>,
    /// Why pH is unknown.
    pub ph_unknown: Option<String>,
    /// Density at the stage's own temperature.
    pub density: Figure,
    /// Thermal conductivity.
    pub conductivity: Figure,
    /// Heat capacity.
    pub heat_capacity: Figure,
    /// Temperature the last three are for.
    pub at: Figure,
}

/// One potful.
#[derive(Debug, Clone, Serialize)]
pub struct BatchPlan {
    /// Formula's name.
    pub formula: String,
    /// Numbers of the batches that are alike: first and last.
    pub numbers: (usize, usize),
    /// Pot's name.
    pub pot: String,
    /// Burner's name.
    pub burner: String,
    /// Jars this batch fills for the plan.
    pub jars: Figure,
    /// Jars it could fill, by the mass balance.
    pub fills: Figure,
    /// Cooking time to the endpoint.
    pub cook: Figure,
    /// Filling time.
    pub fill: Figure,
    /// Water boiled off.
    pub boiled_off: Figure,
    /// What it stops at.
    pub stop: String,
    /// Temperature at which it stops here, in °C, where there is one.
    pub stop_at: Option<Figure>,
    /// Volume when everything is in.
    pub volume: Figure,
    /// Share of the pot that is full.
    pub pot_full: Figure,
    /// What sets the batch's size.
    pub bound_by: String,
    /// What a batch of the whole run at once would take, or why it cannot be.
    pub all_at_once: String,
    /// Remaining difference of the batch-size fixed point.
    pub residual: Figure,
    /// What should be known: "not studied at this size".
    pub notes: Vec<String>,
}

/// One filling of the bath.
#[derive(Debug, Clone, Serialize)]
pub struct LoadPlan {
    /// Formula's name.
    pub formula: String,
    /// Numbers of the loads that are alike: first and last.
    pub numbers: (usize, usize),
    /// Bath's name.
    pub bath: String,
    /// Jars in it.
    pub jars: Figure,
    /// Places it has for this jar.
    pub places: Figure,
    /// Water temperature when the jars go in.
    pub start: Figure,
    /// Come-up at the burner setting proposed.
    pub come_up: Figure,
    /// Come-up with the burner full on.
    pub come_up_full: Figure,
    /// Burner setting that gives the published come-up; absent without one.
    pub burner_setting: Option<Figure>,
    /// Minutes at the boil; absent when no schedule covers the jar.
    pub hold: Option<Figure>,
    /// Longest wait from leaving the heat to the bath, where the schedule names one.
    pub longest_wait: Option<Figure>,
    /// Litres to take out and replace with cold water before the next load.
    pub swap: Figure,
    /// From jars in to ready for the next load.
    pub cycle: Figure,
    /// Notes: slower than published, clashes.
    pub notes: Vec<String>,
}

/// The process of one formula: what is published, what is computed.
#[derive(Debug, Clone, Serialize)]
pub struct Process {
    /// Formula's name.
    pub formula: String,
    /// The tested schedule, when this formula, jar, fill and altitude are inside one.
    pub schedule: Option<ScheduleView>,
    /// Why no schedule applies, or in what the run departs from the claimed one.
    pub departures: Vec<String>,
    /// The cold spot; absent when not computed.
    pub cold_spot: Option<ColdSpot>,
    /// Why it is not computed.
    pub not_computed: Option<String>,
}

/// A tested schedule with all its conditions.
#[derive(Debug, Clone, Serialize)]
pub struct ScheduleView {
    /// Key.
    pub key: String,
    /// Title.
    pub title: String,
    /// Minutes at this altitude.
    pub minutes: Figure,
    /// Altitude band as printed.
    pub band: String,
    /// Every condition, in words with both temperature scales.
    pub conditions: Vec<String>,
    /// Publishers that clash, side by side.
    pub clashes: Vec<String>,
    /// Whether minutes or formula are known only from memory.
    pub from_memory: bool,
}

/// What the physics says about the coldest point of the jar.
#[derive(Debug, Clone, Serialize)]
pub struct ColdSpot {
    /// Where the food starts.
    pub fill: Figure,
    /// At the moment the bath boils.
    pub at_boil: Figure,
    /// At the end of the hold.
    pub at_end: Figure,
    /// Highest, after the jar has left the bath.
    pub peak: Figure,
    /// Lethality before the jar leaves the bath, minutes at the reference temperature.
    pub heating: Figure,
    /// Lethality while it cools.
    pub cooling: Figure,
    /// Share of the whole that comes while cooling.
    pub cooling_share: Figure,
    /// Dose of heating here over dose of heating with every published condition at sea level.
    pub heating_of_reference: Option<Figure>,
    /// The same for the whole dose.
    pub total_of_reference: Option<Figure>,
    /// Reference temperature and z, and for what food they were measured.
    pub target: String,
    /// Minutes the published target asks for.
    pub target_minutes: Figure,
    /// What the dose means and what it does not.
    pub meaning: String,
    /// Time from the end of the hold until 54 °C in air.
    pub to_54: Figure,
    /// Minutes and temperatures of the curve, for a picture.
    pub curve: Vec<(f64, f64)>,
}

/// Where a food may be kept.
#[derive(Debug, Clone, Serialize)]
pub struct Verdict {
    /// Formula's name.
    pub formula: String,
    /// `shelf`, `refrigerator`, `freezer`, `vacuum pack`.
    pub route: &'static str,
    /// `open`, `only-with`, `closed`.
    pub state: &'static str,
    /// Reasons, each with its rule.
    pub reasons: Vec<Reason>,
    /// Measurements and papers that are missing.
    pub missing: Vec<String>,
    /// Earliest published limit.
    pub keeps: Option<Figure>,
    /// All published and usual limits, clashes side by side.
    pub keeping: Vec<String>,
    /// What the route needs here: pan, depth, ice, refrigerator load, headspace.
    pub how: Vec<String>,
}

/// One rule that spoke.
#[derive(Debug, Clone, Serialize)]
pub struct Reason {
    /// What it says.
    pub text: String,
    /// The rule row's id.
    pub rule: String,
    /// Jurisdiction.
    pub jurisdiction: String,
    /// Source and place.
    pub source: String,
    /// Edition or date.
    pub edition: String,
    /// How it is known.
    pub mark: &'static str,
}

/// When what happens.
#[derive(Debug, Clone, Serialize)]
pub struct Clock {
    /// Steps in order, on the working days planned.
    pub steps: Vec<ClockStep>,
    /// Earliest or latest start, as planned (local time).
    pub starts: String,
    /// Last load out of the bath.
    pub last_out: String,
    /// When the jars may leave: pH and seals known.
    pub ready: String,
    /// The deadline, if one was given.
    pub by: Option<String>,
    /// Whether it is met.
    pub met: Option<bool>,
    /// Working time from first step to last load out.
    pub working: Figure,
    /// Wait after the last load: seal and pH.
    pub wait: Figure,
    /// What was considered: "cooking on Friday: ready Saturday 15:10, too late".
    pub findings: Vec<String>,
}

/// One step of the clock.
#[derive(Debug, Clone, Serialize)]
pub struct ClockStep {
    /// Local time.
    pub at: String,
    /// `prepare`, `cook`, `fill`, `jars-in`, `boil`, `jars-out`, `chill` or `ready`.
    pub doing: &'static str,
    /// What to do.
    pub what: String,
    /// Formula and batch, where it belongs to one.
    pub batch: String,
    /// How long it takes.
    pub takes: Figure,
}

/// What one sold jar costs.
#[derive(Debug, Clone, Serialize)]
pub struct CostSheet {
    /// Formula's name.
    pub formula: String,
    /// Ingredients as bought, by what is used.
    pub ingredients: Figure,
    /// Jar and lid.
    pub jar: Figure,
    /// Labour.
    pub labour: Figure,
    /// Energy.
    pub energy: Figure,
    /// The jars started and not sold.
    pub losses: Figure,
    /// One sold jar.
    pub sold_jar: Figure,
    /// What was not priced.
    pub unpriced: Vec<String>,
}

/// One line of the buying list, for the whole run.
#[derive(Debug, Clone, Serialize)]
pub struct BuyLine {
    /// Ingredient as bought, or jar and lid.
    pub ingredient: String,
    /// Edible mass needed; a count of jars.
    pub needed: Figure,
    /// Mass as purchased, after trim.
    pub as_purchased: Figure,
    /// On hand.
    pub on_hand: Figure,
    /// What is not there yet, at the high end of the need; 0 where nothing is to be bought.
    pub to_buy: Figure,
    /// Packs: `2 x 1 kg`.
    pub packs: Vec<String>,
    /// What the packs cost.
    pub price: Option<Figure>,
    /// Left over in the same ingredient.
    pub left_over: Figure,
    /// Other parts left over: egg whites.
    pub also_left: Vec<String>,
    /// What could not be planned.
    pub note: Option<String>,
}

/// A caution, with the step it belongs to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Caution {
    /// Where it matters: `pot`, `fill`, `bath`, `cooling`, `keeping`, `label`, `everywhere`.
    pub at: &'static str,
    /// Formula, or empty for the whole run.
    pub formula: String,
    /// The caution.
    pub text: String,
}

/// A draft label: a person checks it against the market's law.
#[derive(Debug, Clone, Serialize)]
pub struct Label {
    /// Formula's name.
    pub formula: String,
    /// Name of the food.
    pub name: String,
    /// Ingredients in descending order by mass as added.
    pub ingredients: Vec<String>,
    /// Allergens of the market's list.
    pub allergens: Vec<String>,
    /// Declared content of a jar, by the fill of the plan.
    pub content: Figure,
    /// Lot codes, one a batch.
    pub lots: Vec<String>,
    /// Date made.
    pub made: String,
    /// How to keep it.
    pub storage: Vec<String>,
    /// What a person still has to settle.
    pub open_points: Vec<String>,
}

impl Plan {
    /// Visits every figure the plan shows, in its own order.
    pub fn each_figure(&self, see: &mut impl FnMut(&Figure)) {
        see(&self.run.altitude);
        see(&self.run.water_boils);
        for o in &self.run.orders {
            for f in [
                &o.ordered,
                &o.started,
                &o.failure_rate,
                &o.started_if_independent,
                &o.chance,
            ] {
                see(f);
            }
        }
        for w in &self.weigh {
            for f in [&w.multiple, &w.scale_step, &w.total, &w.total_on_scale] {
                see(f);
            }
            for line in &w.lines {
                see(&line.mass);
                see(&line.on_scale);
            }
        }
        for s in &self.stages {
            see(&s.mass);
            s.lost.iter().for_each(&mut *see);
            let a = &s.assay;
            for f in [
                &a.water,
                &a.sugars,
                &a.fat,
                &a.protein,
                &a.acids,
                &a.brix,
                &a.water_activity,
                &a.density,
                &a.conductivity,
                &a.heat_capacity,
                &a.at,
            ] {
                see(f);
            }
            a.ph.iter().for_each(&mut *see);
        }
        for b in &self.batches {
            for f in [
                &b.jars,
                &b.fills,
                &b.cook,
                &b.fill,
                &b.boiled_off,
                &b.volume,
                &b.pot_full,
                &b.residual,
            ] {
                see(f);
            }
            b.stop_at.iter().for_each(&mut *see);
        }
        for l in &self.loads {
            for f in [
                &l.jars,
                &l.places,
                &l.start,
                &l.come_up,
                &l.come_up_full,
                &l.swap,
                &l.cycle,
            ] {
                see(f);
            }
            l.burner_setting
                .iter()
                .chain(&l.hold)
                .chain(&l.longest_wait)
                .for_each(&mut *see);
        }
        for p in &self.process {
            p.schedule.iter().map(|s| &s.minutes).for_each(&mut *see);
            if let Some(c) = &p.cold_spot {
                for f in [
                    &c.fill,
                    &c.at_boil,
                    &c.at_end,
                    &c.peak,
                    &c.heating,
                    &c.cooling,
                    &c.cooling_share,
                    &c.target_minutes,
                    &c.to_54,
                ] {
                    see(f);
                }
                c.heating_of_reference
                    .iter()
                    .chain(&c.total_of_reference)
                    .for_each(&mut *see);
            }
        }
        self.verdicts
            .iter()
            .filter_map(|v| v.keeps.as_ref())
            .for_each(&mut *see);
        self.clock.steps.iter().map(|s| &s.takes).for_each(&mut *see);
        see(&self.clock.working);
        see(&self.clock.wait);
        for c in &self.cost {
            for f in [&c.ingredients, &c.jar, &c.labour, &c.energy, &c.losses, &c.sold_jar] {
                see(f);
            }
        }
        for b in &self.buy {
            for f in [&b.needed, &b.as_purchased, &b.on_hand, &b.to_buy, &b.left_over] {
                see(f);
            }
            b.price.iter().for_each(&mut *see);
        }
        self.labels.iter().map(|l| &l.content).for_each(&mut *see);
    }
}
