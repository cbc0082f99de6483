//! A bath on the bench: a case of its own numbers, followed load by load.
//!
//! Explains a bath and decides nothing: a tested schedule's minutes stand whatever comes out.

use jarwright_heat::HeatError;
use jarwright_heat::bath::{self, Bath, Lid};
use jarwright_heat::bath_run::{Around, BATH_RUN, Course, Inside, Load, Run, Sample, power_for_come_up_w, run};
use jarwright_heat::jar::{Contents, JarBody};
use serde::Serialize;

use crate::PlanError;
use crate::bathing::STEEL_J_KGK;

/// What is around the jars.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// Water over them.
    Water,
    /// Steam from water under them, not under pressure.
    Steam,
}

impl Kind {
    /// Both kinds.
    pub const ALL: [Self; 2] = [Self::Water, Self::Steam];

    /// The word in a case.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Water => "water",
            Self::Steam => "steam",
        }
    }
}

/// Longest process in an atmospheric steam canner [min], altitude's minutes included
/// (`nchfp_steam_canner`).
pub const STEAM_LIMIT_MIN: f64 = 45.0;
/// Water over the jars' lids at least [mm]: one inch (`nchfp_lemon_curd`, one to two inches).
pub const WATER_OVER_JARS_MM: f64 = 25.4;

/// A jar of a case.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseJar {
    /// Its name.
    pub name: String,
    /// Its size and glass.
    pub body: JarBody,
    /// Empty glass [g].
    pub glass_g: f64,
    /// Outer height [mm].
    pub height_mm: f64,
}

impl CaseJar {
    /// Outer diameter [mm].
    #[must_use]
    pub fn outer_mm(&self) -> f64 {
        2000.0 * (self.body.inner_radius_m + self.body.wall_m)
    }

    /// Water that one jar pushes aside [L].
    fn outer_l(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.outer_mm().powi(2) * self.height_mm / 1e6
    }
}

/// A load after the first. What is left out is as in the first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NextLoad {
    /// How many jars.
    pub jars: Option<u32>,
    /// Jars when they go in [°C].
    pub jar_start_c: Option<f64>,
    /// From the boil to the end [min].
    pub hold_min: Option<f64>,
    /// Hot water bailed out and replaced by cold [L].
    pub swap_l: f64,
    /// Cold water added [L].
    pub add_l: f64,
    /// From the end of the load before to this one's jars going in [min].
    pub gap_min: f64,
}

/// A bath case.
#[derive(Debug, Clone, PartialEq)]
pub struct BathCase {
    /// Title.
    pub title: String,
    /// Water or steam.
    pub kind: Kind,
    /// Water, without jars [L].
    pub water_l: f64,
    /// Vessel and rack, steel [kg].
    pub vessel_kg: f64,
    /// Inner diameter [mm].
    pub diameter_mm: f64,
    /// Height of the jars' feet over the bottom [mm].
    pub rack_mm: f64,
    /// Covered or open.
    pub lid: Lid,
    /// Full power into the water [W].
    pub power_w: f64,
    /// The burner's rating [W], where that was given.
    pub rated_w: Option<f64>,
    /// Power into the water once it boils [W]; full when `None`.
    pub power_at_boil_w: Option<f64>,
    /// Loss through the side [W/K].
    pub side_loss_w_k: f64,
    /// Jars of the first load.
    pub jars: u32,
    /// The jar.
    pub jar: CaseJar,
    /// The food's properties.
    pub contents: Contents,
    /// How heat gets about in it.
    pub inside: Inside,
    /// Jars when they go in [°C].
    pub jar_start_c: f64,
    /// Water when the jars go in [°C].
    pub bath_start_c: f64,
    /// Height above sea level [m].
    pub altitude_m: f64,
    /// Pressure of the air [Pa].
    pub pressure_pa: f64,
    /// What water boils at [°C].
    pub boils_c: f64,
    /// Room [°C].
    pub room_c: f64,
    /// Relative humidity, 0 to 1.
    pub rel_humidity: f64,
    /// Water from the tap [°C].
    pub supply_c: f64,
    /// From the boil to the end [min].
    pub hold_min: f64,
    /// A published come-up to meet [min].
    pub published_come_up_min: Option<f64>,
    /// Film of the water on the glass [W/(m² K)].
    pub film_w_m2k: f64,
    /// Loads after the first.
    pub loads: Vec<NextLoad>,
    /// Keys that were left out, with what was taken.
    pub assumed: Vec<String>,
}

/// A moment of a load.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Moment {
    /// Since this load's jars went in [s].
    pub t_s: f64,
    /// Water, or steam [°C].
    pub water_c: f64,
    /// Mean of the food [°C].
    pub jar_mean_c: f64,
    /// Coldest place in the food [°C].
    pub coldest_c: f64,
}

impl From<&Sample> for Moment {
    fn from(sample: &Sample) -> Self {
        Self {
            t_s: sample.at_s,
            water_c: sample.water_c,
            jar_mean_c: sample.food_c,
            coldest_c: sample.coldest_c,
        }
    }
}

/// A boil that the jars took away.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Lost {
    /// How far below the boil [K].
    pub by_k: f64,
    /// Minutes until it boiled again.
    pub back_min: f64,
}

/// Where the heat of a load went [kWh].
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Energy {
    /// Into the bath.
    pub burner_kwh: f64,
    /// Into water and vessel.
    pub water_kwh: f64,
    /// Into the glass.
    pub glass_kwh: f64,
    /// Into the food.
    pub food_kwh: f64,
    /// To the room.
    pub room_kwh: f64,
    /// Away with the vapour.
    pub vapour_kwh: f64,
}

/// How the burner meets the published come-up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Setting {
    /// The published come-up [min].
    pub published_come_up_min: f64,
    /// Power into the water for it [W]; none where the jars find the water at its boil.
    pub power_w: Option<f64>,
    /// The same as a share of full power [%]; above 100 the burner is too weak.
    pub of_full_pct: Option<f64>,
    /// Coldest place at the end with it [°C].
    pub coldest_at_end_c: Option<f64>,
}

/// What one load does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadAnswer {
    /// Jars in it.
    pub jars: u32,
    /// Water in the vessel when they went in [L].
    pub water_l: f64,
    /// Its temperature [°C].
    pub bath_start_c: f64,
    /// The jars' [°C].
    pub jar_start_c: f64,
    /// Come-up [min]; 0 where the jars found the water at its boil.
    pub come_up_min: f64,
    /// From loading until it boils, when minutes count from [min].
    pub boils_min: f64,
    /// The boil lost, where there was one.
    pub boil_lost: Option<Lost>,
    /// How far the water fell below its boil while minutes were counted [K].
    pub fell_in_hold_k: f64,
    /// Minutes at the boil.
    pub hold_min: f64,
    /// Mean of the food when it boils [°C].
    pub jar_mean_at_boil_c: f64,
    /// Coldest place when it boils [°C].
    pub coldest_at_boil_c: f64,
    /// Mean of the food at the end [°C].
    pub jar_mean_at_end_c: f64,
    /// Coldest place at the end [°C].
    pub coldest_at_end_c: f64,
    /// Water boiled away [L].
    pub evaporated_l: f64,
    /// Water left [L].
    pub water_left_l: f64,
    /// Water over the jars at loading [mm]; none for steam.
    pub over_jars_at_start_mm: Option<f64>,
    /// Water over the jars at the end [mm]; none for steam.
    pub over_jars_at_end_mm: Option<f64>,
    /// Whether an inch of water stays over the jars; none for steam.
    pub covered: Option<bool>,
    /// Minutes at the boil after which the water would be gone; none beyond six hours.
    pub dry_after_min: Option<f64>,
    /// Where the heat went.
    pub energy: Energy,
    /// Hot water to swap for cold before the next load [L], so that it starts as the first did.
    pub swap_before_next_l: f64,
    /// The course.
    pub samples: Vec<Moment>,
}

/// The first load on a burner twice as strong.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Stronger {
    /// Power into the water [W].
    pub power_w: f64,
    /// Come-up [min].
    pub come_up_min: f64,
    /// Coldest place at the end [°C].
    pub coldest_at_end_c: f64,
}

/// The bench's answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BathAnswer {
    /// Title of the case.
    pub title: String,
    /// Water or steam.
    pub kind: Kind,
    /// Pressure of the air [hPa].
    pub pressure_hpa: f64,
    /// What water boils at [°C].
    pub boils_c: f64,
    /// Full power into the water [W].
    pub power_w: f64,
    /// Food in a jar [g].
    pub food_g: f64,
    /// Heat capacity of the food [J/(kg K)].
    pub heat_capacity_j_kgk: f64,
    /// Its conductivity [W/(m K)].
    pub conductivity_w_mk: f64,
    /// Its density [kg/m³].
    pub density_kg_m3: f64,
    /// Power that just holds the boil, without jars [W].
    pub holds_boil_w: f64,
    /// Every load, in order.
    pub loads: Vec<LoadAnswer>,
    /// The setting for the published come-up, of the first load.
    pub setting: Option<Setting>,
    /// The first load on a burner twice as strong.
    pub twice_the_power: Stronger,
    /// Minutes between loads, before each.
    pub gaps_min: Vec<f64>,
    /// What to heed.
    pub cautions: Vec<String>,
    /// What the figures rest on.
    pub notes: Vec<String>,
    /// Keys left out, with what was taken.
    pub assumed: Vec<String>,
    /// Keys of the equations.
    pub equations: Vec<&'static str>,
}

/// Joules in a kilowatt-hour.
const J_KWH: f64 = 3.6e6;
/// How long a boil is followed to find when the water is gone [s].
const DRY_WITHIN_S: f64 = 6.0 * 3600.0;

impl BathCase {
    fn bath(&self, water_l: f64) -> Bath {
        Bath {
            water_kg: water_l,
            vessel_j_k: self.vessel_kg * STEEL_J_KGK,
            burner_w: self.power_w,
            lid: self.lid,
            surface_m2: std::f64::consts::FRAC_PI_4 * (self.diameter_mm / 1000.0).powi(2),
            side_loss_w_k: self.side_loss_w_k,
            room_c: self.room_c,
            rel_humidity: self.rel_humidity,
            pressure_pa: self.pressure_pa,
            boils_c: self.boils_c,
        }
    }

    fn load(&self, count: u32, start_c: f64) -> Load {
        Load {
            count,
            body: self.jar.body,
            contents: self.contents,
            inside: self.inside,
            glass_kg_each: self.jar.glass_g / 1000.0,
            start_c: start_c.min(self.boils_c),
        }
    }

    fn around(&self) -> Around {
        match self.kind {
            Kind::Water => Around::Water {
                film_w_m2k: self.film_w_m2k,
            },
            Kind::Steam => Around::Steam,
        }
    }

    /// Water over the jars' lids [mm].
    fn over_jars_mm(&self, water_l: f64, jars: u32) -> f64 {
        let area_dm2 = std::f64::consts::FRAC_PI_4 * (self.diameter_mm / 100.0).powi(2);
        let level_mm = 100.0 * (water_l + f64::from(jars) * self.jar.outer_l()) / area_dm2;
        level_mm - self.rack_mm - self.jar.height_mm
    }
}

/// Follows a case.
///
/// # Errors
/// [`PlanError::CannotMeet`] where the bath never boils; [`PlanError::Physics`] for a number
/// outside the tables.
pub fn follow(case: &BathCase) -> Result<BathAnswer, PlanError> {
    let mut loads = Vec::with_capacity(1 + case.loads.len());
    let mut gaps_min = vec![0.0];
    let (mut water_l, mut start_c) = (case.water_l, case.bath_start_c.min(case.boils_c));
    let first = NextLoad {
        jars: None,
        jar_start_c: None,
        hold_min: None,
        swap_l: 0.0,
        add_l: 0.0,
        gap_min: 0.0,
    };
    for next in std::iter::once(&first).chain(&case.loads) {
        if let Some(before) = loads.last() {
            let before: &LoadAnswer = before;
            gaps_min.push(next.gap_min);
            let left_l = before.water_left_l;
            let swap_l = next.swap_l.min(left_l);
            let hot_c = before.samples.last().map_or(case.boils_c, |last| last.water_c);
            water_l = left_l + next.add_l;
            start_c = ((left_l - swap_l) * hot_c + (swap_l + next.add_l) * case.supply_c) / water_l;
        }
        loads.push(one(case, next, water_l, start_c)?);
    }
    let setting = case
        .published_come_up_min
        .map(|minutes| setting(case, minutes))
        .transpose()?;
    let strong = Bath {
        burner_w: 2.0 * case.power_w,
        ..case.bath(case.water_l)
    };
    let strong_run = ran(
        case,
        &strong,
        &case.load(case.jars, case.jar_start_c),
        &case.course(None, None),
    )?;
    let holds_boil_w = bath::hold_power_w(&case.bath(case.water_l)).map_err(|error| cannot_boil(&error))?;
    let mut answer = BathAnswer {
        title: case.title.clone(),
        kind: case.kind,
        pressure_hpa: case.pressure_pa / 100.0,
        boils_c: case.boils_c,
        power_w: case.power_w,
        food_g: 1000.0 * case.load(1, case.jar_start_c).food_kg_each(),
        heat_capacity_j_kgk: case.contents.heat_capacity_j_kgk,
        conductivity_w_mk: case.contents.conductivity_w_mk,
        density_kg_m3: case.contents.density_kg_m3,
        holds_boil_w,
        loads,
        setting,
        twice_the_power: Stronger {
            power_w: strong.burner_w,
            come_up_min: strong_run.come_up_s / 60.0,
            coldest_at_end_c: strong_run.at_end.coldest_c,
        },
        gaps_min,
        cautions: Vec::new(),
        notes: notes(case),
        assumed: case.assumed.clone(),
        equations: vec![
            BATH_RUN.key,
            bath::WATER_TO_SWAP.key,
            "open-surface-heat",
            "water-boils",
            match case.kind {
                Kind::Water => "jar-lag-conductance",
                Kind::Steam => "film-condensation",
            },
        ],
    };
    answer.cautions = cautions(case, &answer);
    Ok(answer)
}

impl BathCase {
    fn course(&self, start_c: Option<f64>, hold_min: Option<f64>) -> Course {
        Course {
            start_c: start_c.unwrap_or(self.bath_start_c).min(self.boils_c),
            hold_s: 60.0 * hold_min.unwrap_or(self.hold_min),
            hold_w: self.power_at_boil_w,
        }
    }
}

fn ran(case: &BathCase, bath: &Bath, load: &Load, course: &Course) -> Result<Run, PlanError> {
    run(bath, load, case.around(), course).map_err(|error| cannot_boil(&error))
}

fn one(case: &BathCase, next: &NextLoad, water_l: f64, start_c: f64) -> Result<LoadAnswer, PlanError> {
    let jars = next.jars.unwrap_or(case.jars);
    let jar_start_c = next.jar_start_c.unwrap_or(case.jar_start_c).min(case.boils_c);
    let hold_min = next.hold_min.unwrap_or(case.hold_min);
    let bath = case.bath(water_l);
    let load = case.load(jars, jar_start_c);
    let done = ran(case, &bath, &load, &case.course(Some(start_c), Some(hold_min)))?;
    let to_the_end = Course {
        hold_s: DRY_WITHIN_S,
        ..case.course(Some(start_c), None)
    };
    let long = ran(case, &bath, &load, &to_the_end)?;
    let over = |left_l| (case.kind == Kind::Water).then(|| case.over_jars_mm(left_l, jars));
    let over_jars_at_end_mm = over(done.water_left_kg);
    let wanted_c = case.bath_start_c.min(case.boils_c);
    let swap_before_next_l = if done.at_end.water_c > wanted_c && wanted_c > case.supply_c {
        bath::litres_to_swap(done.water_left_kg, done.at_end.water_c, case.supply_c, wanted_c)
            .map_err(|error| PlanError::physics("the water to swap", &error))?
    } else {
        0.0
    };
    let heat = &done.heat;
    Ok(LoadAnswer {
        jars,
        water_l,
        bath_start_c: start_c,
        jar_start_c,
        come_up_min: done.come_up_s / 60.0,
        boils_min: done.boils_s / 60.0,
        boil_lost: done.boil_lost.map(|lost| Lost {
            by_k: lost.by_k,
            back_min: lost.back_s / 60.0,
        }),
        fell_in_hold_k: done.fell_in_hold_k,
        hold_min,
        jar_mean_at_boil_c: done.at_boil.food_c,
        coldest_at_boil_c: done.at_boil.coldest_c,
        jar_mean_at_end_c: done.at_end.food_c,
        coldest_at_end_c: done.at_end.coldest_c,
        evaporated_l: done.evaporated_kg,
        water_left_l: done.water_left_kg,
        over_jars_at_start_mm: over(water_l),
        over_jars_at_end_mm,
        covered: over_jars_at_end_mm.map(|mm| mm >= WATER_OVER_JARS_MM),
        dry_after_min: long.dry_s.map(|dry_s| (dry_s - long.boils_s) / 60.0),
        energy: Energy {
            burner_kwh: heat.burner_j / J_KWH,
            water_kwh: heat.water_j / J_KWH,
            glass_kwh: heat.glass_j / J_KWH,
            food_kwh: heat.food_j / J_KWH,
            room_kwh: heat.room_j / J_KWH,
            vapour_kwh: heat.vapour_j / J_KWH,
        },
        swap_before_next_l,
        samples: done.samples.iter().map(Moment::from).collect(),
    })
}

fn setting(case: &BathCase, published_come_up_min: f64) -> Result<Setting, PlanError> {
    let load = case.load(case.jars, case.jar_start_c);
    let course = case.course(None, None);
    let bath = case.bath(case.water_l);
    let none = Setting {
        published_come_up_min,
        power_w: None,
        of_full_pct: None,
        coldest_at_end_c: None,
    };
    if course.start_c > case.boils_c - 0.1 {
        return Ok(none);
    }
    let power_w = power_for_come_up_w(&bath, &load, case.around(), course.start_c, published_come_up_min)
        .map_err(|error| PlanError::physics("the burner's setting", &error))?;
    let set = ran(
        case,
        &Bath {
            burner_w: power_w,
            ..bath
        },
        &load,
        &course,
    )?;
    Ok(Setting {
        power_w: Some(power_w),
        of_full_pct: Some(100.0 * power_w / case.power_w),
        coldest_at_end_c: Some(set.at_end.coldest_c),
        ..none
    })
}

fn cannot_boil(error: &HeatError) -> PlanError {
    match error {
        HeatError::NeverReaches { limit, .. } => PlanError::CannotMeet {
            reason: format!(
                "the bath never comes to the boil on this burner: it settles near {}",
                crate::words::temperature(*limit)
            ),
            would: vec!["a stronger burner, a lid, less water or fewer jars".into()],
        },
        other => PlanError::physics("the course of the bath", other),
    }
}

fn cautions(case: &BathCase, answer: &BathAnswer) -> Vec<String> {
    let mut said = vec![
        "A computed bath never replaces a tested schedule: its minutes, jar, start of the bath and altitude stand, \
         and local code and a licensed authority decide."
            .to_owned(),
        "Come-up is part of a tested process: a bath that boils sooner gives the jars less heat before the \
         minutes begin. Minutes count from a full boil over the jars."
            .to_owned(),
    ];
    if case.kind == Kind::Steam {
        said.push(format!(
            "A steam canner only for a tested process that allows it: pH 4.6 or below, at most {STEAM_LIMIT_MIN} min with \
             altitude's minutes, steam at the boil of the place before minutes count, never opened meanwhile."
        ));
    }
    for (n, load) in answer.loads.iter().enumerate() {
        let which = format!("Load {}", n + 1);
        if let (Some(false), Some(mm)) = (load.covered, load.over_jars_at_end_mm) {
            let where_ = if mm < 0.0 {
                format!("{:.0} mm of the jars stand out of the water", -mm)
            } else {
                format!("{mm:.0} mm of water are left over the jars")
            };
            said.push(format!(
                "{which}: {where_} at the end, an inch is asked for; start with more, or add boiling water. The \
                 figures take the jars as covered."
            ));
        }
        if load.dry_after_min.is_some_and(|dry| dry < load.hold_min) {
            said.push(format!(
                "{which}: the water is gone before the minutes are over; these jars are not processed."
            ));
        }
        if load.fell_in_hold_k > 0.05 {
            said.push(format!(
                "{which}: the flame loses the boil by {:.1} K while minutes are counted; by the tested process they \
                 begin again at a full boil.",
                load.fell_in_hold_k
            ));
        }
        if let (Some(lost), Some(first)) = (&load.boil_lost, answer.loads.first().filter(|_| n > 0)) {
            said.push(format!(
                "{which} goes into boiling water: no come-up, the boil lost by {:.1} K and back after {:.1} min; its \
                 coldest place ends {:.1} K below the first load's. Swap {:.1} L for cold before it.",
                lost.by_k,
                lost.back_min,
                first.coldest_at_end_c - load.coldest_at_end_c,
                answer.loads[n - 1].swap_before_next_l
            ));
        }
    }
    match answer.setting {
        Some(Setting {
            of_full_pct: Some(pct),
            published_come_up_min,
            ..
        }) if pct < 97.0 => said.push(format!(
            "Full on, the bath boils sooner than the published {published_come_up_min:.0} min: set the burner to about \
             {pct:.0} % of full."
        )),
        Some(Setting {
            of_full_pct: Some(pct), ..
        }) if pct > 103.0 => said.push(
            "The burner is too weak for the published come-up: a longer one is no fault for the jars' heat, but \
             the tested food was not in the bath that long."
                .to_owned(),
        ),
        _ => {}
    }
    said
}

fn notes(case: &BathCase) -> Vec<String> {
    let mut said = vec![
        "The coldest place is the middle under the headspace, through which no heat is counted.".to_owned(),
        "The lid is off while jars go in; that is not counted, and a real boil is lost a little deeper.".to_owned(),
    ];
    if case.lid == Lid::On {
        said.push("Under the lid nothing evaporates below the boil; at the boil what is left over escapes.".to_owned());
    }
    if case.kind == Kind::Steam {
        said.push(
            "The steam is taken as warm as the water under it, with the air that this leaves; condensate runs back."
                .to_owned(),
        );
    }
    said.push(
        match case.kind {
            Kind::Water => {
                "Come-ups measured in canners whose water and burner are not printed: 4.3 to 21 min from 180 °F, 23 to \
                 49 min with preheating; half a 21.5-quart canner computes 30 to 44 min with preheating on 2.0 kW into \
                 the water, up to 64 min on 1.4 kW. Trust your own clock over both."
            }
            Kind::Steam => {
                "Steam canners were measured at 10.3 to 16.2 min; two quarts compute 6 to 28 min by burner, jar and fill, \
                 so a computed steam come-up tells the order and no more. Trust a thermometer in the vent."
            }
        }
        .to_owned(),
    );
    if !case.loads.is_empty() {
        said.push("Between loads the water stays as hot as the load before left it.".to_owned());
    }
    said
}
