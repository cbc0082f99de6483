//! Reading a bath case: vessel, burner, jars and loads, each key with its unit in its name.

use jarwright_heat::bath::Lid;
use jarwright_heat::bath_run::Inside;
use jarwright_heat::jar::{Contents, JarBody};
use jarwright_matter::{self as matter, Food, thermal};
use jarwright_reference as reference;

use super::problem::{Fault, Problem};
use super::section::Section;
use super::walk::Need::{self, May, Must};
use super::walk::{Walk, choose, jar_size};
use crate::bath_case::{BathCase, CaseJar, Kind, NextLoad, STEAM_LIMIT_MIN};
use crate::jar_fill::GLASS;

const CASE: &[&str] = &[
    "kind",
    "title",
    "water_l",
    "vessel_kg",
    "diameter_mm",
    "rack_mm",
    "lid",
    "power_w",
    "burner_w",
    "efficiency_pct",
    "power_at_boil_w",
    "side_loss_w_k",
    "jars",
    "jar",
    "headspace_mm",
    "own_jar",
    "food",
    "jar_start_c",
    "bath_start_c",
    "altitude_m",
    "sea_level_hpa",
    "barometer_hpa",
    "room_c",
    "rel_humidity_pct",
    "supply_c",
    "hold_min",
    "published_come_up_min",
    "film_w_m2k",
    "load",
];
const OWN_JAR: &[&str] = &[
    "inner_radius_mm",
    "fill_height_mm",
    "wall_mm",
    "base_mm",
    "glass_g",
    "height_mm",
];
const FOOD: &[&str] = &[
    "heat",
    "inside_w_m2k",
    "conductivity_w_mk",
    "density_kg_m3",
    "heat_capacity_j_kgk",
    "water_pct",
    "sugar_pct",
    "protein_pct",
    "fat_pct",
    "starch_pct",
    "fibre_pct",
    "ash_pct",
];
const LOAD: &[&str] = &["jars", "jar_start_c", "swap_l", "add_l", "hold_min", "gap_min"];

/// Temperature at which a composition's properties are taken [°C]: the middle of a bath's course.
const PROPERTIES_AT_C: f64 = 85.0;

/// Reads a bath case.
///
/// # Errors
/// Every fault of the text at once, with its place.
pub fn read_bath_case(file: &str, text: &str) -> Result<BathCase, Vec<Problem>> {
    let (mut walk, table) = Walk::open(file, text, "a bath case: kind = \"water\", water_l = 18, ...")?;
    let root = walk.root(table.get_ref(), "the case", CASE);
    let case = Reader {
        walk: &mut walk,
        root: &root,
        assumed: Vec::new(),
    }
    .case();
    walk.finish(case)
}

struct Reader<'w, 'd, 't> {
    walk: &'w mut Walk<'t>,
    root: &'w Section<'d, 't>,
    assumed: Vec<String>,
}

impl<'t> Reader<'_, '_, 't> {
    fn must(&mut self, key: &'static str, range: (f64, f64), unit: &str) -> f64 {
        self.number(key, Must, range, unit).unwrap_or(range.0)
    }

    fn or(&mut self, key: &'static str, range: (f64, f64), unit: &str, usual: f64) -> f64 {
        if !self.root.has(key) {
            self.assumed.push(format!("{key} = {usual}"));
        }
        self.number(key, May, range, unit).unwrap_or(usual)
    }

    fn number(&mut self, key: &'static str, need: Need, range: (f64, f64), unit: &str) -> Option<f64> {
        number(self.walk, self.root, key, need, range, unit)
    }

    fn case(mut self) -> BathCase {
        let kind = self
            .root
            .read(self.walk, "kind", Must, "\"water\" or \"steam\"", |text| {
                choose(text, "kind", &Kind::ALL, Kind::word)
            })
            .unwrap_or(Kind::Water);
        let altitude_m = self.or("altitude_m", (-500.0, 6000.0), "m", 0.0);
        let pressure_pa = self.pressure_pa(altitude_m);
        let boils_c = matter::water_boils_c(pressure_pa).unwrap_or(100.0);
        let water_l = self.must("water_l", (0.2, 500.0), "L");
        let diameter_mm = self.must("diameter_mm", (80.0, 2000.0), "mm");
        let jar = self.jar();
        let bath_start_c = self.below_boil("bath_start_c", boils_c);
        let jar_start_c = self.below_boil("jar_start_c", boils_c);
        let hold_min = self.hold(kind);
        let (power_w, rated_w) = self.power_w();
        let jars = self
            .root
            .count(self.walk, "jars", Must, (1, 200), "a whole number from 1 to 200")
            .unwrap_or(1);
        self.fits(&jar, jars, diameter_mm, kind);
        let (contents, inside) = self.food();
        let loads = self.loads(kind, boils_c, water_l);
        let case = BathCase {
            title: self
                .root
                .words(self.walk, "title", May, "a title")
                .unwrap_or_else(|| "a bath".into()),
            kind,
            water_l,
            vessel_kg: self.must("vessel_kg", (0.0, 200.0), "kg"),
            diameter_mm,
            rack_mm: self.or("rack_mm", (0.0, 300.0), "mm", 10.0),
            lid: self.lid(),
            power_w,
            rated_w,
            power_at_boil_w: self.number("power_at_boil_w", May, (0.0, 50_000.0), "W into the water"),
            side_loss_w_k: self.or("side_loss_w_k", (0.0, 100.0), "W/K", 0.0),
            jars,
            jar,
            contents,
            inside,
            jar_start_c,
            bath_start_c,
            altitude_m,
            pressure_pa,
            boils_c,
            room_c: self.or("room_c", (0.0, 50.0), "°C", 21.0),
            rel_humidity: self.or("rel_humidity_pct", (0.0, 100.0), "%", 50.0) / 100.0,
            supply_c: self.or("supply_c", (0.0, 60.0), "°C", 15.0),
            hold_min,
            published_come_up_min: self.number("published_come_up_min", May, (0.5, 240.0), "min"),
            film_w_m2k: match kind {
                Kind::Water => self.or("film_w_m2k", (50.0, 20_000.0), "W/(m² K)", 1000.0),
                Kind::Steam => {
                    self.not_with_steam("film_w_m2k");
                    1000.0
                }
            },
            loads,
            assumed: Vec::new(),
        };
        BathCase {
            assumed: self.assumed,
            ..case
        }
    }

    fn not_with_steam(&mut self, key: &'static str) {
        if self.root.has(key) {
            let at = self.root.place(self.walk, key);
            let fault = Fault::new(format!("\"{key}\" belongs to kind = \"water\""), "leave it out");
            self.walk.fault(
                at,
                fault.hint("steam's own film is computed: condensing, with air below the boil"),
            );
        }
    }

    fn lid(&mut self) -> Lid {
        if !self.root.has("lid") {
            self.assumed.push("lid = \"on\"".into());
        }
        let words = [(Lid::On, "on"), (Lid::Off, "off")];
        let word = |which: usize| words[which].1;
        let read = self.root.read(self.walk, "lid", May, "\"on\" or \"off\"", |text| {
            choose(text, "lid", &[0, 1], word)
        });
        read.map_or(Lid::On, |which| words[which].0)
    }

    fn pressure_pa(&mut self, altitude_m: f64) -> f64 {
        let sea = self.number("sea_level_hpa", May, (300.0, 1200.0), "hPa, reduced to sea level");
        let here = self.number("barometer_hpa", May, (300.0, 1200.0), "hPa, as it is here");
        if sea.is_some() && here.is_some() {
            let at = self.root.place(self.walk, "barometer_hpa");
            self.walk.fault(
                at,
                Fault::new(
                    "a reading at sea level and one here",
                    "one of sea_level_hpa and barometer_hpa",
                ),
            );
        }
        let (key, pressure) = match (sea, here) {
            (Some(sea), _) => ("sea_level_hpa", matter::station_pressure_pa(100.0 * sea, altitude_m)),
            (None, Some(here)) => ("barometer_hpa", matter::barometer_pa(100.0 * here, altitude_m)),
            (None, None) => ("altitude_m", matter::pressure_pa(altitude_m)),
        };
        pressure.unwrap_or_else(|error| {
            let at = self.root.place(self.walk, key);
            self.walk.fault(
                at,
                Fault::new(error.to_string(), "what a weather can be at this altitude"),
            );
            101_325.0
        })
    }

    /// A temperature that water here can have.
    fn below_boil(&mut self, key: &'static str, boils_c: f64) -> f64 {
        let c = self.must(key, (0.0, 120.0), "°C");
        not_above(self.walk, self.root, key, c, boils_c);
        c
    }

    fn hold(&mut self, kind: Kind) -> f64 {
        let hold_min = self.must("hold_min", (0.0, 180.0), "min");
        steam_limit(self.walk, self.root, kind, hold_min);
        hold_min
    }

    fn power_w(&mut self) -> (f64, Option<f64>) {
        let range = (50.0, 50_000.0);
        let into = self.number("power_w", May, range, "W into the water");
        let rated = self.number("burner_w", May, range, "W as the burner is rated");
        let share = self.number(
            "efficiency_pct",
            May,
            (1.0, 100.0),
            "% of the burner that goes into the water",
        );
        let at = |reader: &Self, key| reader.root.place(reader.walk, key);
        let has = |key| self.root.has(key);
        match (has("power_w"), has("burner_w"), has("efficiency_pct")) {
            (true, false, false) => (into.unwrap_or(range.0), None),
            (false, true, true) => {
                let rated = rated.unwrap_or(range.0);
                (rated * share.unwrap_or(100.0) / 100.0, Some(rated))
            }
            (true, ..) => {
                let at = at(self, "power_w");
                let fault = Fault::new("the power is given twice", "power_w, or burner_w with efficiency_pct");
                self.walk.fault(at, fault);
                (range.0, None)
            }
            (false, burner, _) => {
                let key = if burner { "burner_w" } else { "power_w" };
                let what = if burner {
                    "a burner without its share"
                } else {
                    "the case has no power"
                };
                let at = at(self, key);
                let fault = Fault::new(what, "power_w, or burner_w with efficiency_pct")
                    .hint("published shares: gas about 32 %, coil 75 to 80 %, induction about 85 %");
                self.walk.fault(at, fault);
                (range.0, None)
            }
        }
    }

    fn jar(&mut self) -> CaseJar {
        if let Some(own) = self.root.table(self.walk, "own_jar", "[own_jar]", OWN_JAR) {
            for key in ["jar", "headspace_mm"] {
                if self.root.has(key) {
                    let at = self.root.place(self.walk, key);
                    self.walk
                        .fault(at, Fault::new(format!("\"{key}\" beside [own_jar]"), "one of the two"));
                }
            }
            let mut mm = |key, range| number(self.walk, &own, key, Must, range, "mm").unwrap_or(range.0);
            let (radius, fill) = (mm("inner_radius_mm", (5.0, 150.0)), mm("fill_height_mm", (5.0, 500.0)));
            let (wall, base) = (mm("wall_mm", (0.5, 15.0)), mm("base_mm", (0.5, 20.0)));
            let height_mm = mm("height_mm", (10.0, 600.0));
            let glass_g = number(self.walk, &own, "glass_g", Must, (5.0, 5000.0), "g").unwrap_or(5.0);
            if height_mm < fill + base {
                let at = own.place(self.walk, "height_mm");
                let least = fill + base;
                self.walk.fault(
                    at,
                    Fault::new(
                        "the jar is lower than its food",
                        format!("at least {least} mm: fill and base"),
                    ),
                );
            }
            return CaseJar {
                name: "own jar".into(),
                body: body(radius, fill, wall, base),
                glass_g,
                height_mm,
            };
        }
        let headspace_mm = self.or("headspace_mm", (0.0, 60.0), "mm", 12.7);
        let name = self.root.read(
            self.walk,
            "jar",
            Must,
            "a jar such as \"half-pint\", or [own_jar]",
            jar_size,
        );
        let row = name.as_deref().and_then(reference::jar);
        let Some(row) = row else {
            return CaseJar {
                name: String::new(),
                body: body(30.0, 60.0, 3.0, 4.0),
                glass_g: 150.0,
                height_mm: 90.0,
            };
        };
        let wall = row.wall_mm.value;
        let radius = row.diameter_mm.value / 2.0 - wall;
        let mouth = row.mouth_mm.value;
        let volume_ml = row.volume_ml.value - std::f64::consts::FRAC_PI_4 * mouth * mouth * headspace_mm / 1000.0;
        let fill = 1000.0 * volume_ml / (std::f64::consts::PI * radius * radius);
        if fill < 5.0 {
            let at = self.root.place(self.walk, "headspace_mm");
            self.walk.fault(
                at,
                Fault::new("the headspace leaves no food", "less than the jar's height"),
            );
        }
        CaseJar {
            name: row.name.clone(),
            body: body(radius, fill.max(5.0), wall, row.base_mm.value),
            glass_g: row.glass_g.value,
            height_mm: row.height_mm.value,
        }
    }

    /// Refuses what no vessel holds.
    fn fits(&mut self, jar: &CaseJar, jars: u32, diameter_mm: f64, kind: Kind) {
        let across_mm = jar.outer_mm();
        // Circles side by side fill at most 0.9069 of a plane.
        let floor = 0.906_9 * (diameter_mm / across_mm).powi(2);
        let layers = match kind {
            Kind::Water => 2.0,
            Kind::Steam => 1.0,
        };
        if across_mm > diameter_mm || f64::from(jars) > (layers * floor).max(1.0) {
            let at = self.root.place(self.walk, "jars");
            let most = (layers * floor).max(0.0).floor();
            self.walk.fault(
                at,
                Fault::new(
                    format!("{jars} jars {across_mm:.0} mm across do not stand in {diameter_mm:.0} mm"),
                    format!("at most {most:.0}, counting {layers:.0} layers"),
                ),
            );
        }
    }

    fn food(&mut self) -> (Contents, Inside) {
        let nothing = Contents {
            conductivity_w_mk: 0.5,
            density_kg_m3: 1000.0,
            heat_capacity_j_kgk: 4000.0,
        };
        let Some(food) = self.root.table(self.walk, "food", "[food]", FOOD) else {
            if !self.root.has("food") {
                let fault = Fault::new(
                    "the case has no [food]",
                    "[food] with heat and density_kg_m3, ... or water_pct, ...",
                );
                self.walk.fault(self.root.at.clone(), fault);
            }
            return (nothing, Inside::Conducts);
        };
        let expected = "\"conducts\" (a spoon would stand in it) or \"stirs\" (a brine)";
        let stirs = food
            .read(self.walk, "heat", Must, expected, |text| {
                choose(text, "way of heat", &[false, true], |stirs| {
                    if stirs { "stirs" } else { "conducts" }
                })
            })
            .unwrap_or(false);
        let film = number(self.walk, &food, "inside_w_m2k", May, (10.0, 5000.0), "W/(m² K)");
        let inside = match (stirs, film) {
            (false, Some(_)) => {
                let at = food.place(self.walk, "inside_w_m2k");
                self.walk.fault(
                    at,
                    Fault::new("a food that conducts has no film inside", "heat = \"stirs\""),
                );
                Inside::Conducts
            }
            (false, None) => Inside::Conducts,
            (true, film) => {
                if film.is_none() {
                    self.assumed.push("inside_w_m2k = 300".into());
                }
                Inside::Stirs {
                    film_w_m2k: film.unwrap_or(300.0),
                }
            }
        };
        let plain = ["conductivity_w_mk", "density_kg_m3", "heat_capacity_j_kgk"];
        if plain.iter().any(|key| food.has(key)) {
            for key in FOOD.iter().filter(|key| key.ends_with("_pct") && food.has(key)) {
                let at = food.place(self.walk, key);
                self.walk
                    .fault(at, Fault::new("a composition beside properties", "one of the two"));
            }
            let mut of = |key, range, unit| number(self.walk, &food, key, Must, range, unit).unwrap_or(range.0);
            let contents = Contents {
                conductivity_w_mk: of(plain[0], (0.05, 2.0), "W/(m K)"),
                density_kg_m3: of(plain[1], (300.0, 2000.0), "kg/m³"),
                heat_capacity_j_kgk: of(plain[2], (1000.0, 4300.0), "J/(kg K)"),
            };
            return (contents, inside);
        }
        (self.composed(&food).unwrap_or(nothing), inside)
    }

    fn composed(&mut self, food: &Section<'_, 't>) -> Option<Contents> {
        let water = number(self.walk, food, "water_pct", Must, (0.1, 100.0), "% of the mass")?;
        let mut of = |key| number(self.walk, food, key, May, (0.0, 100.0), "% of the mass").unwrap_or(0.0);
        let parts = Food {
            water_kg: water,
            sucrose_kg: of("sugar_pct"),
            protein_kg: of("protein_pct"),
            fat_kg: of("fat_pct"),
            starch_kg: of("starch_pct"),
            fibre_kg: of("fibre_pct"),
            ash_kg: of("ash_pct"),
            ..Food::default()
        };
        let whole = parts.mass_kg();
        if !(95.0..=105.0).contains(&whole) {
            let at = food.place(self.walk, "water_pct");
            self.walk.fault(
                at,
                Fault::new(format!("the parts make {whole:.1} %"), "95 to 105 % together"),
            );
            return None;
        }
        match thermal(&parts, PROPERTIES_AT_C) {
            Ok(thermal) => Some(Contents {
                conductivity_w_mk: thermal.conductivity_w_mk,
                density_kg_m3: thermal.density_kg_m3,
                heat_capacity_j_kgk: thermal.heat_capacity_j_kgk,
            }),
            Err(error) => {
                let at = food.place(self.walk, "water_pct");
                self.walk
                    .fault(at, Fault::new(error.to_string(), "a composition of food"));
                None
            }
        }
    }

    fn loads(&mut self, kind: Kind, boils_c: f64, water_l: f64) -> Vec<NextLoad> {
        let sections = self.root.tables(self.walk, "load", May, "[[load]]", LOAD);
        sections
            .iter()
            .take(20)
            .map(|section| {
                let of = |walk: &mut Walk<'t>, key, range, unit| number(walk, section, key, May, range, unit);
                let jar_start_c = of(self.walk, "jar_start_c", (0.0, 120.0), "°C");
                if let Some(c) = jar_start_c {
                    not_above(self.walk, section, "jar_start_c", c, boils_c);
                }
                let hold_min = of(self.walk, "hold_min", (0.0, 180.0), "min");
                if let Some(minutes) = hold_min {
                    steam_limit(self.walk, section, kind, minutes);
                }
                NextLoad {
                    jars: section.count(self.walk, "jars", May, (1, 200), "a whole number from 1 to 200"),
                    jar_start_c,
                    hold_min,
                    swap_l: of(self.walk, "swap_l", (0.0, water_l), "L, at most the water there").unwrap_or(0.0),
                    add_l: of(self.walk, "add_l", (0.0, 500.0), "L").unwrap_or(0.0),
                    gap_min: of(self.walk, "gap_min", (0.0, 600.0), "min").unwrap_or(0.0),
                }
            })
            .collect()
    }
}

fn number<'t>(
    walk: &mut Walk<'t>,
    section: &Section<'_, 't>,
    key: &'static str,
    need: Need,
    range: (f64, f64),
    unit: &str,
) -> Option<f64> {
    let expected = format!("{} to {} {unit}", range.0, range.1);
    section.number(walk, key, need, range, &expected)
}

fn not_above<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>, key: &'static str, c: f64, boils_c: f64) {
    // A hundredth of a degree is rounding of a boil that was looked up.
    if c > boils_c + 0.01 {
        let at = section.place(walk, key);
        let fault = Fault::new(
            format!("\"{key}\" is {c}, hotter than water boils here"),
            format!("at most {boils_c:.2} °C"),
        );
        walk.fault(
            at,
            fault.hint("today's boil follows from altitude_m and barometer_hpa or sea_level_hpa"),
        );
    }
}

fn steam_limit<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>, kind: Kind, hold_min: f64) {
    if kind == Kind::Steam && hold_min > STEAM_LIMIT_MIN {
        let at = section.place(walk, "hold_min");
        let fault = Fault::new(
            format!("{hold_min} min in a steam canner"),
            format!("at most {STEAM_LIMIT_MIN} min, altitude's minutes included"),
        );
        walk.fault(
            at,
            fault.hint("the published limit: a longer process boils its water away; use a water bath"),
        );
    }
}

fn body(inner_radius_mm: f64, fill_height_mm: f64, wall_mm: f64, base_mm: f64) -> JarBody {
    JarBody {
        inner_radius_m: inner_radius_mm / 1000.0,
        food_height_m: fill_height_mm / 1000.0,
        wall_m: wall_mm / 1000.0,
        base_m: base_mm / 1000.0,
        glass_k_w_mk: GLASS.conductivity_w_mk,
        glass_density_kg_m3: GLASS.density_kg_m3,
        glass_cp_j_kgk: GLASS.heat_capacity_j_kgk,
    }
}
