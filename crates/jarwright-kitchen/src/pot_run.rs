//! A case of the pot worked out: what each mass takes, what the heat does to it, the largest
//! batch, and where splitting it wins.

use jarwright_dose::{Change, DoseError, EggSetting, SUGAR_SHIFT_K, Standing, inverted_share};
use jarwright_figure::{Kinetics, Unchanging};
use jarwright_heat::HeatError;
use jarwright_heat::batch_size::{largest_kg, splits_from_kg};
use jarwright_heat::follow::{Filling, Followed, Measured, Moment, Setting, Until, follow};
use jarwright_heat::heated_vessel::Vessel;
use jarwright_heat::pot::Addition;
use jarwright_matter::{DISPERSED_VISCOSITY, Food, SYRUP_VISCOSITY, food_boils_c, pressure_pa, thermal, water_boils_c};
use serde::Serialize;

use crate::PlanError;
use crate::bathing::STEEL_J_KGK;
use crate::files::{PotAddition, PotCase, PotFood, PotStop, Shares, VesselKind};
use crate::words::fine_temperature;

/// Density of stainless steel [kg/m³] (`crc_handbook`, from memory).
const STEEL_KG_M3: f64 = 7900.0;
/// Steam that a kettle's boiler brings where the case does not say [W]: more than a kettle takes.
const USUAL_STEAM_W: f64 = 50_000.0;
/// Most samples of one run.
const MOST_SAMPLES: usize = 240;
/// Temperature of a warm pot for its density [°C].
const WARM_C: f64 = 60.0;
/// Least batch that is looked at, as a share of the greatest.
const LEAST_SHARE: f64 = 0.02;

/// One moment of a run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PotSample {
    /// Time [s].
    pub t_s: f64,
    /// Temperature in the middle [°C].
    pub bulk_c: f64,
    /// Temperature of the food at the wall [°C].
    pub wall_c: f64,
    /// Food in the pot [kg].
    pub mass_kg: f64,
    /// Soluble solids [°Brix].
    pub brix: f64,
    /// Share of the egg that has set, in the middle.
    pub set_share: Option<f64>,
    /// Share of the egg that has scrambled, in the middle.
    pub scrambled_share: Option<f64>,
    /// Share of the egg at the wall that is scrambled when its film is stirred away.
    pub wall_scrambled_share: Option<f64>,
}

/// One mass on the heat.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PotRun {
    /// Mass at the start [kg].
    pub start_kg: f64,
    /// Moments in order of time.
    pub samples: Vec<PotSample>,
    /// Whole time on the heat [min].
    pub minutes: f64,
    /// Water that went off [kg].
    pub evaporated_kg: f64,
    /// What is left [kg].
    pub left_kg: f64,
    /// Soluble solids at the end [°Brix].
    pub brix: f64,
    /// Heat into pot and food [kWh].
    pub energy_kwh: f64,
    /// Energy the hob takes for it [kWh]; none for steam from elsewhere.
    pub taken_kwh: Option<f64>,
    /// Temperature at the end [°C].
    pub end_c: f64,
    /// How much hotter it gets off the heat [K].
    pub carry_over_c: f64,
    /// Hottest the food at the wall got [°C].
    pub hottest_wall_c: f64,
    /// Whether it came to its boil.
    pub boils: bool,
    /// Share of the egg that has set.
    pub set_share: Option<f64>,
    /// Share of the egg that has scrambled.
    pub scrambled_share: Option<f64>,
    /// How far the hottest wall stayed below where half the egg in its film scrambles [K].
    pub scramble_margin_c: Option<f64>,
    /// Share of the sucrose that split.
    pub inverted_share: Option<f64>,
    /// Share of the ascorbic acid lost.
    pub ascorbic_lost_share: f64,
    /// Browning, as minutes at 100 °C: by the middle, the least and the greatest activation energy.
    pub browning_min_at_100c: [f64; 3],
    /// Time of two potfuls of half the mass with the change between them [min].
    pub in_two_minutes: Option<f64>,
}

/// A mass that this pot does not manage.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PotRefusal {
    /// Mass at the start [kg].
    pub start_kg: f64,
    /// Why not.
    pub why: String,
}

/// A case of the pot, worked out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PotSheet {
    /// The case's name.
    pub name: String,
    /// The vessel's word.
    pub vessel: &'static str,
    /// Where water boils here [°C].
    pub water_boils_c: f64,
    /// Where the food boils at the start [°C]; none for a food without composition.
    pub food_boils_c: Option<f64>,
    /// The one run's own figures again, where there is one mass.
    #[serde(flatten)]
    pub only: Option<PotRun>,
    /// Every mass, in the case's order.
    pub runs: Vec<PotRun>,
    /// Masses it does not manage.
    pub refused: Vec<PotRefusal>,
    /// Largest batch [kg], by what the vessel holds and the time allowed.
    pub largest_kg: Option<f64>,
    /// From this mass on two potfuls are quicker than one [kg].
    pub splits_from_kg: Option<f64>,
    /// What was assumed, what is extrapolated, what to mind.
    pub notes: Vec<String>,
}

/// Works a case out.
///
/// # Errors
/// [`PlanError::CannotMeet`] where no mass of the case gets there; [`PlanError::Physics`] for a
/// case outside what the physics is made for.
pub fn run_pot(case: &PotCase) -> Result<PotSheet, PlanError> {
    let place = Place::new(case).map_err(|error| PlanError::physics(format!("the pot of {}", case.name), &error))?;
    let mut runs = Vec::new();
    let mut refused = Vec::new();
    let mut all_would: Vec<String> = Vec::new();
    for &kg in &case.mass_kg {
        let what = if case.mass_kg.len() == 1 {
            case.name.clone()
        } else {
            format!("{kg} kg")
        };
        let run = place
            .check_holds(kg)
            .and_then(|()| place.run(kg).map_err(|error| refusal(&what, &error)));
        match run {
            Ok(run) => runs.push(run),
            Err(error) if case.mass_kg.len() == 1 => return Err(error),
            Err(error) => refused.push(PotRefusal {
                start_kg: kg,
                why: match error {
                    PlanError::CannotMeet { reason, would } => {
                        all_would.extend(
                            would
                                .into_iter()
                                .filter(|would| !all_would.contains(would))
                                .collect::<Vec<_>>(),
                        );
                        reason
                    }
                    other => other.to_string(),
                },
            }),
        }
    }
    if runs.is_empty() {
        return Err(PlanError::CannotMeet {
            reason: refused.iter().map(|r| r.why.as_str()).collect::<Vec<_>>().join("; "),
            would: all_would,
        });
    }
    let largest_kg = place.largest_kg();
    let splits_from_kg = place.splits_from_kg();
    let notes = place.notes(&runs, largest_kg);
    Ok(PotSheet {
        name: case.name.clone(),
        vessel: case.vessel.word(),
        water_boils_c: place.water_boils_c,
        food_boils_c: place.food_boils_c(),
        only: match runs.as_slice() {
            [run] if refused.is_empty() => Some(run.clone()),
            _ => None,
        },
        runs,
        refused,
        largest_kg,
        splits_from_kg,
        notes,
    })
}

/// Why a pot does not get there, for a person.
fn refusal(what: &str, error: &HeatError) -> PlanError {
    match error {
        HeatError::OutOfRange(range) if range.source == SYRUP_VISCOSITY.source => PlanError::CannotMeet {
            reason: format!(
                "{what} boils down to more than {:.0} °Brix before it gets there",
                range.max
            ),
            would: vec!["a lid, more heat, a narrower pot, or a stop below that".into()],
        },
        HeatError::OutOfRange(range) if range.source == DISPERSED_VISCOSITY.source => PlanError::asked(
            format!(
                "{what} is {:.0} % fat and solids by volume: too much to reckon how thick it is",
                100.0 * range.got
            ),
            "give viscosity_mpa_s, measured in the warm pot",
        ),
        HeatError::NeverReaches { .. } => PlanError::cooking(what, error),
        other => PlanError::physics(what, other),
    }
}

/// A case with everything it left out filled in.
struct Place<'c> {
    case: &'c PotCase,
    setting: Setting,
    water_boils_c: f64,
    efficiency: f64,
    density_kg_m3: f64,
    egg: Option<EggSetting>,
}

impl<'c> Place<'c> {
    fn new(case: &'c PotCase) -> Result<Self, HeatError> {
        let pressure_pa = match case.pressure_hpa {
            Some(hpa) => 100.0 * hpa,
            None => pressure_pa(case.altitude_m.unwrap_or(0.0))?,
        };
        let water_boils_c = water_boils_c(pressure_pa)?;
        let diameter_m = case.diameter_mm / 1000.0;
        let usual = match case.vessel {
            VesselKind::BowlOverSteam | VesselKind::PotOnGas => practice("gas_efficiency"),
            VesselKind::PotOnCoil => practice("coil_efficiency"),
            VesselKind::PotOnInduction => practice("induction_efficiency"),
            VesselKind::SteamKettle => 1.0,
        };
        let efficiency = case.efficiency.unwrap_or(usual);
        let into_w = case.power_w.unwrap_or(USUAL_STEAM_W) * efficiency;
        let vessel = match case.vessel {
            VesselKind::BowlOverSteam => Vessel::BowlOverSteam {
                diameter_m,
                steam_c: water_boils_c,
                steam_w: into_w,
                air_kg_kg: case.air_in_steam.unwrap_or_else(|| practice("steam_air_kg_kg")),
            },
            VesselKind::SteamKettle => Vessel::SteamKettle {
                diameter_m,
                steam_c: jarwright_matter::water_boils_c(
                    pressure_pa + 1000.0 * case.steam_gauge_kpa.unwrap_or_default(),
                )?,
                steam_w: into_w,
            },
            VesselKind::PotOnGas | VesselKind::PotOnCoil | VesselKind::PotOnInduction => Vessel::StraightPot {
                diameter_m,
                into_pot_w: into_w,
            },
        };
        let wall_m = case.wall_mm.unwrap_or_else(|| practice("pot_wall_mm")) / 1000.0;
        let pot_kg = case.pot_kg.unwrap_or_else(|| steel_kg(case, wall_m));
        let density_kg_m3 = match case.food {
            PotFood::Measured { density_kg_m3, .. } => density_kg_m3,
            PotFood::Shares(shares) => thermal(&food(shares, 1.0), WARM_C)?.density_kg_m3,
        };
        let stirs = case.stirs_per_min.unwrap_or_else(|| practice("stirs_per_min"));
        let usual_wipes = if stirs > 0.0 { practice("wiped_every_s") } else { 0.0 };
        let wipes = case.wiped_every_s.unwrap_or(usual_wipes);
        let egg = match case.egg {
            true => {
                let shift_k = case.sugar_shift_k.unwrap_or(SUGAR_SHIFT_K.1);
                Some(EggSetting::new(shift_k).map_err(|error| out_of_range(&error))?)
            }
            false => None,
        };
        Ok(Self {
            case,
            setting: Setting {
                vessel,
                wall_m,
                pot_j_k: pot_kg * STEEL_J_KGK,
                stirs_s: (stirs > 0.0).then_some(stirs / 60.0),
                sweep: practice("spoon_sweep_share"),
                wiped_s: (wipes > 0.0).then_some(wipes),
                lid: case.lid,
                room_c: case.room_c.unwrap_or_else(|| practice("room_c")),
                humidity: case.room_humidity_pct.unwrap_or(50.0) / 100.0,
                pressure_pa,
                measured_pa_s: case.viscosity_mpa_s.map(|mpa_s| mpa_s / 1000.0),
            },
            water_boils_c,
            efficiency,
            density_kg_m3,
            egg,
        })
    }

    fn food_boils_c(&self) -> Option<f64> {
        match self.case.food {
            PotFood::Shares(shares) => food_boils_c(&food(shares, 1.0), self.setting.pressure_pa).ok(),
            PotFood::Measured { .. } => None,
        }
    }

    fn followed(&self, kg: f64) -> Result<Followed, HeatError> {
        let composed = match self.case.food {
            PotFood::Shares(shares) => food(shares, kg),
            PotFood::Measured { .. } => Food::default(),
        };
        let filling = match self.case.food {
            PotFood::Shares(_) => Filling::Composed(&composed),
            PotFood::Measured {
                conductivity_w_mk,
                density_kg_m3,
                heat_capacity_j_kgk,
            } => Filling::Measured(
                kg,
                Measured {
                    conductivity_w_mk,
                    density_kg_m3,
                    heat_capacity_j_kgk,
                },
            ),
        };
        let until = match self.case.stop {
            PotStop::At { c, hold_min } => Until::Temperature(c, 60.0 * hold_min),
            PotStop::Brix(brix) => Until::Brix(brix),
            PotStop::BoilMinutes(min) => Until::Boiled(60.0 * min),
            PotStop::Minutes(min) => Until::Time(60.0 * min),
        };
        let additions: Vec<Addition> = self.case.additions.iter().map(|a| added(a, kg)).collect();
        let kinetics: &dyn Kinetics = match &self.egg {
            Some(egg) => egg,
            None => &Unchanging,
        };
        follow(&self.setting, &filling, self.case.start_c, &additions, until, kinetics)
    }

    fn minutes(&self, kg: f64) -> Option<f64> {
        self.followed(kg).ok().map(|pot| pot.seconds / 60.0)
    }

    fn run(&self, kg: f64) -> Result<PotRun, HeatError> {
        let pot = self.followed(kg)?;
        let (times_s, c, brix) = history(&pot.moments);
        let dose = |result: Result<f64, DoseError>| result.ok();
        let inverts = match (self.case.ph, self.case.food) {
            (Some(ph), PotFood::Shares(shares)) if shares.sucrose_pct > 0.0 => {
                dose(inverted_share(&times_s, &c, &brix, ph))
            }
            _ => None,
        };
        let browns = Change::Browns.law();
        let (least, greatest) = browns.activation_range_j_mol;
        let browning = [browns, browns.with_activation(least), browns.with_activation(greatest)]
            .map(|law| dose(law.over(&times_s, &c)).unwrap_or_default());
        let last = pot.moments.last();
        let share = |i: usize| self.egg.and(last).and_then(|m| m.bulk.get(i)).copied();
        let margin = self.egg.and_then(|egg| {
            let hottest = pot.moments.iter().max_by(|a, b| a.wall_c.total_cmp(&b.wall_c))?;
            let scrambles_c = dose(egg.half_scrambles_c(hottest.film_stays_s))?;
            Some(scrambles_c - hottest.wall_c)
        });
        let energy_kwh = pot.energy_j / 3.6e6;
        Ok(PotRun {
            start_kg: kg,
            samples: samples(&pot.moments, self.egg.is_some()),
            minutes: pot.seconds / 60.0,
            evaporated_kg: pot.evaporated_kg,
            left_kg: pot.food.mass_kg(),
            brix: pot.food.brix(),
            energy_kwh,
            taken_kwh: (self.case.vessel != VesselKind::SteamKettle).then_some(energy_kwh / self.efficiency),
            end_c: pot.end_c,
            carry_over_c: pot.carry_over_k,
            hottest_wall_c: pot.hottest_wall_c,
            boils: pot.boils,
            set_share: share(0),
            scrambled_share: share(1),
            scramble_margin_c: margin,
            inverted_share: inverts,
            ascorbic_lost_share: dose(Change::AscorbicAcidLost.law().over(&times_s, &c)).unwrap_or_default(),
            browning_min_at_100c: browning,
            in_two_minutes: self.minutes(0.5 * kg).map(|half| 2.0 * half + self.change_min()),
        })
    }

    fn change_min(&self) -> f64 {
        self.case
            .change_minutes
            .unwrap_or_else(|| practice("change_potful_min"))
    }

    /// Mass at the start that fills the vessel to its brim once all is in [kg], where its height is
    /// known.
    fn brim_kg(&self) -> Option<f64> {
        let height_m = self.case.height_mm? / 1000.0;
        let volume_m3 = self.setting.vessel.holds_m3(height_m).ok()?;
        let added: f64 = self.case.additions.iter().map(|a| a.of_start_pct / 100.0).sum();
        Some(volume_m3 * self.density_kg_m3 / (1.0 + added))
    }

    /// Greatest mass at the start to cook in the vessel [kg], where its height is known.
    fn holds_kg(&self) -> Option<f64> {
        Some(self.brim_kg()? * self.fill_share())
    }

    /// Refuses a mass that is more than the vessel holds to its brim, and says what fits.
    fn check_holds(&self, kg: f64) -> Result<(), PlanError> {
        let (Some(brim_kg), Some(holds_kg)) = (self.brim_kg(), self.holds_kg()) else {
            return Ok(());
        };
        if kg <= brim_kg {
            return Ok(());
        }
        let with = if self.case.additions.is_empty() {
            ""
        } else {
            " at the start, with what is added later"
        };
        let to_fill = format!(
            "{holds_kg:.1} kg at the start fits: the pot is then {:.0} % full",
            100.0 * self.fill_share()
        );
        Err(PlanError::CannotMeet {
            reason: format!("{kg} kg does not fit: to its brim the pot holds {brim_kg:.1} kg{with}; {to_fill}"),
            would: vec![format!(
                "{holds_kg:.1} kg a potful, or {:.0} potfuls of {:.1} kg",
                (kg / holds_kg).ceil(),
                kg / (kg / holds_kg).ceil()
            )],
        })
    }

    /// Share of the vessel to fill: a third where it boils hard, half else.
    fn fill_share(&self) -> f64 {
        let key = match self.case.stop {
            PotStop::Brix(_) | PotStop::BoilMinutes(_) => "boiling_pot_fill_share",
            PotStop::At { .. } | PotStop::Minutes(_) => "pot_fill_share",
        };
        practice(key)
    }

    fn most_kg(&self) -> f64 {
        self.case.mass_kg.iter().copied().fold(0.0, f64::max)
    }

    fn largest_kg(&self) -> Option<f64> {
        let holds_kg = self.holds_kg();
        let within_min = self.case.at_most_minutes;
        if holds_kg.is_none() && within_min.is_none() {
            return None;
        }
        let greatest_kg = holds_kg.unwrap_or(4.0 * self.most_kg());
        let within_min = within_min.unwrap_or(f64::INFINITY);
        largest_kg(
            |kg| self.minutes(kg),
            LEAST_SHARE * greatest_kg,
            greatest_kg,
            within_min,
        )
        .ok()
        .flatten()
    }

    fn splits_from_kg(&self) -> Option<f64> {
        let greatest_kg = self.holds_kg().unwrap_or(0.0).max(self.most_kg());
        splits_from_kg(
            |kg| self.minutes(kg),
            LEAST_SHARE * greatest_kg,
            greatest_kg,
            self.change_min(),
        )
        .ok()
        .flatten()
    }

    fn notes(&self, runs: &[PotRun], largest_kg: Option<f64>) -> Vec<String> {
        let case = self.case;
        let mut notes = Vec::new();
        let mut assumed = Vec::new();
        if case.efficiency.is_none() && case.vessel != VesselKind::SteamKettle {
            assumed.push(format!("{:.0} % of the rating gets in", 100.0 * self.efficiency));
        }
        if case.pot_kg.is_none() {
            assumed.push(format!(
                "a pot of {:.1} kg of steel",
                self.setting.pot_j_k / STEEL_J_KGK
            ));
        }
        if case.vessel == VesselKind::BowlOverSteam && case.air_in_steam.is_none() {
            assumed.push(format!(
                "{} kg of air in each kilogram of steam, which decides how well it heats",
                practice("steam_air_kg_kg")
            ));
        }
        if case.stirs_per_min.is_none() {
            assumed.push(format!("{:.0} rounds of the spoon a minute", practice("stirs_per_min")));
        }
        if case.wiped_every_s.is_none() && self.setting.wiped_s.is_some() {
            assumed.push(format!(
                "every place of the wall scraped each {:.0} s",
                practice("wiped_every_s")
            ));
        }
        if case.viscosity_mpa_s.is_none() {
            assumed.push("the thickness of its syrup with fat and solids stirred in".into());
        }
        if !assumed.is_empty() {
            notes.push(format!("Assumed: {}.", assumed.join("; ")));
        }
        if let Some(egg) = &self.egg {
            notes.push(format!(
                "{} Fit sugar_shift_k to the own kitchen.",
                egg_extrapolated(egg)
            ));
            notes.push(EGG_AT_THE_WALL.into());
        }
        let hottest_c = runs.iter().map(|run| run.end_c).fold(0.0, f64::max);
        for (what, change) in [("Vitamin C", Change::AscorbicAcidLost), ("Browning", Change::Browns)] {
            let law = change.law();
            let extrapolated = match law.standing(hottest_c) {
                Standing::Measured => "another food than this",
                Standing::OtherTemperatures | Standing::Extrapolated => {
                    "another food and other temperatures: extrapolated"
                }
            };
            notes.push(format!(
                "{what}: measured in {} at {:.0} to {:.0} °C, {extrapolated}.",
                law.measured_in, law.measured_c.0, law.measured_c.1
            ));
        }
        if runs.iter().any(|run| run.inverted_share.is_some()) {
            notes.push(
                "Sucrose split: by a rate measured in dilute acid at room temperature, carried up to the boil.".into(),
            );
        }
        if matches!(case.food, PotFood::Measured { .. }) {
            notes.push("The food is known by its properties alone: vapour and boil are reckoned as water's.".into());
        }
        if runs.iter().any(|run| !run.boils) && matches!(case.stop, PotStop::Brix(_) | PotStop::BoilMinutes(_)) {
            notes.push("It stands below its boil: a thermometer does not show the end; weigh it.".into());
        }
        if case.vessel == VesselKind::PotOnCoil {
            notes.push(
                "A coil keeps heating after it is off: what it carries over is not counted. Move the pot.".into(),
            );
        }
        let full = self
            .holds_kg()
            .is_some_and(|holds| runs.iter().any(|run| run.start_kg > holds));
        if full {
            notes.push(format!(
                "Fuller than {:.0} %: it may boil over or spit; a smaller potful leaves room to stir.",
                100.0 * self.fill_share()
            ));
        }
        if case.height_mm.is_none() {
            notes.push("Without height_mm nobody has asked whether the pot holds it.".into());
        }
        if let (Some(kg), Some(share)) = (largest_kg, self.holds_kg().map(|_| self.fill_share())) {
            notes.push(format!(
                "Largest batch: {kg:.1} kg at the start, the pot at most {:.0} % full{}.",
                100.0 * share,
                case.at_most_minutes
                    .map_or(String::new(), |min| format!(" and done in {min:.0} min"))
            ));
        }
        if runs.iter().any(|run| run.end_c >= 60.0) {
            notes.push(format!(
                "Food this hot burns: {} sticks and scalds at once. Two people for more than 10 kg, dry mitts.",
                fine_temperature(runs.iter().map(|run| run.hottest_wall_c).fold(0.0, f64::max))
            ));
        }
        notes.push("Computed: it plans and explains, and releases nothing.".into());
        notes
    }
}

/// What is extrapolated about egg in a sweet food.
pub(crate) fn egg_extrapolated(egg: &EggSetting) -> String {
    format!(
        "Extrapolated: nobody has measured egg in acid and sugar. It is reckoned to set and scramble {:.1} K \
         hotter than plain egg ({:.1} to {:.1} K is printed for a custard), each as a first-order change, which \
         the data of plain egg only roughly are.",
        egg.shift_k(),
        SUGAR_SHIFT_K.0,
        SUGAR_SHIFT_K.2
    )
}

/// Why the thermometer does not tell all.
pub(crate) const EGG_AT_THE_WALL: &str =
    "A thermometer in the middle does not see the wall, where the egg scrambles first: stir and scrape.";

/// A row of the table of practice; all that are asked for here are there.
pub(crate) fn practice(key: &str) -> f64 {
    jarwright_reference::practice(key).map_or(f64::NAN, |row| row.value.value)
}

/// Steel of a pot whose mass the case does not give [kg].
fn steel_kg(case: &PotCase, wall_m: f64) -> f64 {
    use std::f64::consts::PI;
    let diameter_m = case.diameter_mm / 1000.0;
    let radius_m = 0.5 * diameter_m;
    let area_m2 = match case.vessel {
        VesselKind::BowlOverSteam | VesselKind::SteamKettle => 2.0 * PI * radius_m * radius_m,
        VesselKind::PotOnGas | VesselKind::PotOnCoil | VesselKind::PotOnInduction => {
            let height_m = case.height_mm.map_or(radius_m, |mm| mm / 1000.0);
            PI * radius_m * radius_m + PI * diameter_m * height_m
        }
    };
    STEEL_KG_M3 * wall_m * area_m2
}

fn out_of_range(error: &DoseError) -> HeatError {
    match error {
        DoseError::OutOfRange(inner) => HeatError::OutOfRange(inner.clone()),
        _ => HeatError::Matter(jarwright_matter::MatterError::NoWater),
    }
}

fn food(shares: Shares, kg: f64) -> Food {
    let part = |pct: f64| kg * pct / shares.sum_pct();
    Food {
        water_kg: part(shares.water_pct),
        sucrose_kg: part(shares.sucrose_pct),
        hexose_kg: part(shares.glucose_fructose_pct),
        fat_kg: part(shares.fat_pct),
        protein_kg: part(shares.protein_pct),
        starch_kg: part(shares.starch_pct),
        fibre_kg: part(shares.fibre_pct),
        salt_kg: part(shares.salt_pct),
        ash_kg: part(shares.ash_pct),
        ..Food::default()
    }
}

fn added(addition: &PotAddition, start_kg: f64) -> Addition {
    Addition {
        food: food(addition.shares, start_kg * addition.of_start_pct / 100.0),
        c: addition.from_c,
        when_c: Some(addition.at_c),
    }
}

/// Times, temperatures and degrees Brix of a run, times rising: of two moments at one time the later.
fn history(moments: &[Moment]) -> (Vec<f64>, Vec<f64>, Vec<f64>) {
    let (mut times, mut c, mut brix) = (Vec::new(), Vec::new(), Vec::new());
    for moment in moments {
        if times.last().is_some_and(|&last| moment.t_s <= last) {
            times.pop();
            c.pop();
            brix.pop();
        }
        times.push(moment.t_s);
        c.push(moment.bulk_c);
        brix.push(moment.brix);
    }
    (times, c, brix)
}

/// Moments as samples, no more than are worth drawing; the last is always there.
fn samples(moments: &[Moment], egg: bool) -> Vec<PotSample> {
    let every = moments.len().div_ceil(MOST_SAMPLES).max(1);
    let last = moments.len().saturating_sub(1);
    let kept = moments.iter().enumerate().filter(|(i, _)| i % every == 0 || *i == last);
    kept.map(|(_, m)| {
        let share = |of: &[f64], i: usize| of.get(i).copied().filter(|_| egg);
        PotSample {
            t_s: m.t_s,
            bulk_c: m.bulk_c,
            wall_c: m.wall_c,
            mass_kg: m.mass_kg,
            brix: m.brix,
            set_share: share(&m.bulk, 0),
            scrambled_share: share(&m.bulk, 1),
            wall_scrambled_share: share(&m.film, 1),
        }
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::read_pot_case;

    const CASE: &str = "vessel = 'pot on gas'\ndiameter_mm = 300\npower_w = 4000\nmass_kg = 3\nstart_c = 20\n\
                        [food]\nwater_pct = 52\nsucrose_pct = 48\n[stop]\n";

    fn sheet(more: &str) -> Option<PotSheet> {
        let case = read_pot_case("case", &format!("{CASE}{more}")).ok()?;
        run_pot(&case).ok()
    }

    #[test]
    fn every_row_of_practice_asked_for_is_there() {
        for key in [
            "gas_efficiency",
            "coil_efficiency",
            "induction_efficiency",
            "steam_air_kg_kg",
            "stirs_per_min",
            "wiped_every_s",
            "spoon_sweep_share",
            "pot_wall_mm",
            "change_potful_min",
            "room_c",
            "pot_fill_share",
            "boiling_pot_fill_share",
        ] {
            assert!(practice(key).is_finite(), "{key}");
        }
    }

    #[test]
    fn what_goes_off_and_what_is_left_add_up_and_samples_follow_time() {
        let sheet = sheet("brix = 60\n");
        assert!(sheet.is_some());
        for run in sheet.iter().flat_map(|sheet| &sheet.runs) {
            assert!((run.evaporated_kg + run.left_kg - run.start_kg).abs() < 1e-9);
            assert!((run.brix - 60.0).abs() < 0.05 && run.boils);
            assert!(run.samples.windows(2).all(|pair| pair[1].t_s >= pair[0].t_s));
            assert!(run.set_share.is_none() && run.inverted_share.is_none());
        }
    }

    #[test]
    fn a_load_over_the_brim_is_refused_with_what_fits() {
        // A cylinder of 300 by 200 mm holds 14.137 L (arithmetic); this syrup weighs above 1.0 kg/L.
        let with = |kg: &str, stop: &str| {
            let text = CASE.replace("mass_kg = 3", &format!("mass_kg = {kg}\nheight_mm = 200"));
            let case = read_pot_case("case", &format!("{text}{stop}"));
            case.map_err(|problems| format!("{problems:?}"))
                .and_then(|case| run_pot(&case).map_err(|error| format!("{error}")))
        };
        let refused = with("40", "minutes = 7\n");
        assert!(
            refused
                .as_ref()
                .is_err_and(|why| why.contains("40 kg does not fit") && why.contains("kg at the start fits")),
            "{refused:?}"
        );
        // Of several, those that fit are worked out.
        let some = with("[3, 40]", "minutes = 7\n");
        assert!(
            some.as_ref().is_ok_and(|sheet| sheet.runs.len() == 1
                && sheet.refused.len() == 1
                && sheet.refused[0].start_kg > 39.0),
            "{some:?}"
        );
        assert!(with("14", "minutes = 7\n").is_ok());
    }

    #[test]
    fn a_time_on_the_heat_is_kept_to_the_second() {
        let run = sheet("minutes = 7\n").and_then(|sheet| sheet.only);
        assert!(run.is_some_and(|run| (run.minutes - 7.0).abs() < 1e-6));
    }
}
