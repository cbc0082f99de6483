//! One load in the bath: come-up, the burner setting the schedule needs, the turn-round.

use jarwright_figure::{Equation, Graph, Id, Unit};
use jarwright_heat::bath::{self, Bath, COME_UP, Jars, Lid, WATER_TO_SWAP};
use jarwright_heat::jar::Contents;
use jarwright_heat::{HeatError, lag};

use crate::PlanError;
use crate::jar_fill::{self, GLASS, JarIds, infallible};

/// Setting of the burner for a published come-up.
pub static BURNER_SETTING: Equation = Equation {
    key: "burner-setting",
    title: "Burner setting for a published come-up",
    text: "the share of the burner's full power at which the loaded bath's heat balance gives the \
           published come-up (bath-come-up solved for the power)",
    source: "heat_balance",
};

/// From jars in to ready for the next load.
pub static LOAD_CYCLE: Equation = Equation {
    key: "load-cycle",
    title: "Cycle of one load",
    text: "cycle = come-up + hold + rest + unload, swap and reload",
    source: "worked_day",
};

/// What a load is.
#[derive(Debug, Clone)]
pub(crate) struct LoadCase {
    pub(crate) key: String,
    pub(crate) jars: u32,
    pub(crate) water_l: f64,
    pub(crate) diameter_m: f64,
    pub(crate) vessel_kg: f64,
    pub(crate) burner_w: f64,
    pub(crate) pressure_pa: f64,
    pub(crate) boils_c: f64,
    pub(crate) rel_humidity: f64,
    /// Whether the food conducts; a brine stirs itself.
    pub(crate) conducts: bool,
    pub(crate) jar: JarIds,
    pub(crate) fill_g: Id,
    pub(crate) fill_c: Id,
    pub(crate) conductivity: Id,
    pub(crate) density: Id,
    pub(crate) heat_capacity: Id,
    pub(crate) efficiency: Id,
    pub(crate) film: Id,
    pub(crate) inside_film: Id,
    pub(crate) room_c: Id,
    pub(crate) start_c: Id,
    /// Published come-up [min], when a schedule prints one.
    pub(crate) come_up: Option<Id>,
    pub(crate) hold: Option<Id>,
    pub(crate) rest_min: Id,
    pub(crate) turn_min: Id,
    pub(crate) supply_c: f64,
    /// Temperature that the next load needs at most [°C].
    pub(crate) next_start_c: f64,
    pub(crate) water_boils: Id,
}

/// A load, solved.
#[derive(Debug, Clone)]
pub(crate) struct Load {
    pub(crate) come_up: Id,
    pub(crate) come_up_full: Id,
    pub(crate) setting: Option<Id>,
    pub(crate) energy_kwh: Id,
    pub(crate) swap_l: Id,
    pub(crate) cycle: Id,
    /// The burner cannot give the published come-up even when full on.
    pub(crate) slower: bool,
}

/// Heat capacity of a vessel's or pot's steel [J/(kg K)] (`incropera_heat_mass`, AISI 304).
pub(crate) const STEEL_J_KGK: f64 = 477.0;

/// Height to which water stands over the burner is not known; only the surface loses heat to
/// the room, the side's loss is in the burner's efficiency.
const SIDE_LOSS_W_K: f64 = 0.0;

impl LoadCase {
    /// What a come-up takes, in the order [`LoadCase::come_up`] reads it.
    pub(crate) fn inputs(&self) -> Vec<Id> {
        vec![
            self.efficiency,
            self.start_c,
            self.fill_c,
            self.fill_g,
            self.heat_capacity,
            self.jar.glass_g,
            self.conductivity,
            self.density,
            self.film,
            self.inside_film,
            self.room_c,
            self.jar.radius_mm,
            self.jar.height_mm,
            self.jar.wall_mm,
            self.jar.base_mm,
        ]
    }

    /// Bath, jars and start temperature for one row of inputs, the burner at `setting`.
    fn parts(&self, x: &[f64], setting: f64) -> Result<(Bath, Jars, f64), HeatError> {
        let body = jar_fill::body(&x[11..15]);
        let contents = Contents {
            conductivity_w_mk: x[6],
            density_kg_m3: x[7],
            heat_capacity_j_kgk: x[4],
        };
        let u_a_w_k = if self.conducts {
            lag::conducting_w_k(&body, &contents, x[8])?
        } else {
            lag::convecting_w_k(&body, x[8], x[9])?
        };
        let bath = Bath {
            water_kg: self.water_l,
            vessel_j_k: self.vessel_kg * STEEL_J_KGK,
            burner_w: self.burner_w * x[0] * setting,
            lid: Lid::On,
            surface_m2: std::f64::consts::FRAC_PI_4 * self.diameter_m * self.diameter_m,
            side_loss_w_k: SIDE_LOSS_W_K,
            room_c: x[10],
            rel_humidity: self.rel_humidity,
            pressure_pa: self.pressure_pa,
            boils_c: self.boils_c,
        };
        let jars = Jars {
            count: self.jars,
            food_kg_each: x[3] / 1000.0,
            food_j_kgk: x[4],
            glass_kg_each: x[5] / 1000.0,
            glass_j_kgk: GLASS.heat_capacity_j_kgk,
            start_c: x[2],
            u_a_w_k,
        };
        // Water at the boil stays there; the jars only draw heat out of it.
        Ok((bath, jars, x[1].min(self.boils_c - 0.01)))
    }

    /// Minutes to the boil and heat for it [kWh], for one row of [`LoadCase::inputs`].
    pub(crate) fn come_up(&self, x: &[f64], setting: f64) -> Result<[f64; 2], HeatError> {
        let (bath, jars, start_c) = self.parts(x, setting)?;
        let up = bath::come_up(&bath, &jars, start_c)?;
        Ok([up.minutes, up.energy_j / 3.6e6])
    }

    /// Solves the load.
    pub(crate) fn solve(&self, graph: &mut Graph) -> Result<Load, PlanError> {
        let inputs = self.inputs();
        let nominal: Vec<f64> = inputs.iter().map(|&id| graph.value(id)).collect();
        let [come_up_full, full_kwh] = graph
            .solve_many(
                [
                    ("come-up, burner full on", Unit::Minute),
                    ("heat of the come-up", Unit::KilowattHour),
                ],
                &COME_UP,
                &inputs,
                |x| self.come_up(x, 1.0),
            )
            .map_err(|e| self.cannot_boil(&e))?;
        let (come_up, energy_kwh, setting, slower) = match self.come_up {
            Some(published) => {
                let (low, _) = graph.band(published);
                let full = graph.value(come_up_full);
                if full >= low {
                    (come_up_full, full_kwh, None, full > graph.band(published).1)
                } else {
                    let (bath, jars, start_c) = self.parts(&nominal, 1.0).map_err(|e| self.cannot_boil(&e))?;
                    let watts = bath::burner_for_come_up(&bath, &jars, start_c, graph.value(published))
                        .map_err(|e| self.cannot_boil(&e))?;
                    let share = watts / bath.burner_w;
                    let mut reasons = vec![published];
                    reasons.extend(&inputs);
                    let setting = graph.decide(
                        "burner setting, share of full",
                        Unit::Percent,
                        &BURNER_SETTING,
                        &reasons,
                        100.0 * share,
                    );
                    let mut with_setting = inputs.clone();
                    with_setting.push(setting);
                    let [up, kwh] = graph
                        .solve_many(
                            [
                                ("come-up at the setting", Unit::Minute),
                                ("heat of the come-up", Unit::KilowattHour),
                            ],
                            &COME_UP,
                            &with_setting,
                            |x| self.come_up(x, x[x.len() - 1] / 100.0),
                        )
                        .map_err(|e| self.cannot_boil(&e))?;
                    (up, kwh, Some(setting), false)
                }
            }
            None => (come_up_full, full_kwh, None, false),
        };
        let water = graph.entered(
            &format!("water:{}", self.key),
            "water in the bath",
            Unit::Litre,
            self.water_l,
            "kitchen file",
        );
        let next = graph.entered(
            &format!("next-start:{}", self.key),
            "hottest start of the next load",
            Unit::Celsius,
            self.next_start_c,
            "the schedule",
        );
        let supply = graph.entered(
            "supply",
            "water from the tap",
            Unit::Celsius,
            self.supply_c,
            "kitchen file",
        );
        let swap_l = graph
            .compute(
                "water to bail out and replace",
                Unit::Litre,
                &WATER_TO_SWAP,
                &[water, self.water_boils, supply, next],
                |x| {
                    if x[3] >= x[1] {
                        Ok(0.0)
                    } else {
                        bath::litres_to_swap(x[0], x[1], x[2], x[3])
                    }
                },
            )
            .map_err(|e| PlanError::physics("the water to swap", &e))?;
        let mut parts = vec![come_up, self.rest_min, self.turn_min];
        parts.extend(self.hold);
        let cycle = infallible(
            graph.compute("cycle of a load", Unit::Minute, &LOAD_CYCLE, &parts, |x| {
                Ok(x.iter().sum())
            }),
        );
        Ok(Load {
            come_up,
            come_up_full,
            setting,
            energy_kwh,
            swap_l,
            cycle,
            slower,
        })
    }

    pub(crate) fn cannot_boil(&self, error: &HeatError) -> PlanError {
        match error {
            HeatError::NeverReaches { limit, .. } => PlanError::CannotMeet {
                reason: format!(
                    "the bath never comes to the boil on this burner: it settles near {}",
                    crate::words::temperature(*limit)
                ),
                would: vec!["a stronger burner, or less water and fewer jars a load".into()],
            },
            other => PlanError::physics("the come-up of the bath", other),
        }
    }
}
