//! Everything about a formula that is settled before a schedule is asked: jar, bath, lines, pot.

use jarwright_figure::{Basis, Graph, Id, Leaf, Spread, Unit};
use jarwright_matter as matter;
use jarwright_reference::{self as reference, FoodClass, JarRow};

use crate::PlanError;
use crate::assumed::practice;
use crate::cooking::{CookCase, Stop};
use crate::facts::guard;
use crate::files::{Bath, Burner, FormulaFile, Fuel, InstrumentKind, KitchenFile, Part, Pot, StoresFile, nearest};
use crate::inside::Case;
use crate::jar_fill::{self, JarIds};
use crate::lines::{Line, resolve};
use crate::mixture::Mixture;
use crate::order::{Order, Wanted};
use crate::place::Place;
use crate::pots::{check_brix, choose_pot, cook_case, fill_temperature, pack_densities, stop_temperature};
use crate::words;

/// Headspace where neither formula nor schedule gives one [mm]: half an inch.
const USUAL_HEADSPACE_MM: f64 = 12.7;

/// Humidity of a working kitchen (`common_practice`); evaporation hardly feels it.
pub(crate) const ROOM_HUMIDITY: f64 = 0.5;

/// A formula in its kitchen.
pub(crate) struct Setting<'a> {
    pub(crate) order: &'a Order,
    pub(crate) wanted: &'a Wanted,
    pub(crate) kitchen: &'a KitchenFile,
    pub(crate) stores: &'a StoresFile,
    pub(crate) place: &'a Place,
    pub(crate) formula: &'a FormulaFile,
    pub(crate) food: FoodClass,
    pub(crate) is_pack: bool,
    pub(crate) jar_row: &'static JarRow,
    pub(crate) jar: JarIds,
    pub(crate) headspace_mm: f64,
    pub(crate) lines: Vec<Line>,
    /// Mass of each line in the formula as written [g].
    pub(crate) one_g: Vec<f64>,
    /// Lines that go into the pot, and lines that are a pack's pieces.
    pub(crate) potted: Vec<usize>,
    pub(crate) pieces: Vec<usize>,
    pub(crate) pieces_share: f64,
    /// Densities of a pack's pieces and brine [kg/m³].
    pub(crate) densities: (f64, f64),
    pub(crate) mixture: Mixture,
    pub(crate) bath: &'a Bath,
    pub(crate) places: usize,
    pub(crate) bath_burner: &'a Burner,
    pub(crate) bath_efficiency: Id,
    pub(crate) pot: &'a Pot,
    pub(crate) pot_burner: &'a Burner,
    pub(crate) efficiency: Id,
    pub(crate) steam_u: Id,
    pub(crate) case: CookCase,
    pub(crate) stop_c: Option<Id>,
    pub(crate) end_brix: f64,
    pub(crate) fill_c: Id,
}

/// The burner's share that reaches the food, own or by its fuel.
fn efficiency(graph: &mut Graph, burner: &Burner) -> Result<Id, PlanError> {
    if let Some(own) = burner.efficiency {
        return Ok(graph.entered(
            &format!("efficiency:{}", burner.name),
            &format!("share of the {}'s heat that reaches the pot", burner.name),
            Unit::One,
            own,
            "kitchen file",
        ));
    }
    let key = match burner.fuel {
        Fuel::Gas => "gas_efficiency",
        Fuel::Coil => "coil_efficiency",
        Fuel::Induction => "induction_efficiency",
    };
    practice(graph, key, Unit::One)
}

/// The burner of a name.
pub(crate) fn burner<'k>(kitchen: &'k KitchenFile, name: &str) -> Result<&'k Burner, PlanError> {
    kitchen.burner(name).ok_or_else(|| {
        PlanError::asked(
            format!("the kitchen has no burner \"{name}\""),
            "name one of its burners",
        )
    })
}

/// Settles a formula in its kitchen.
pub(crate) fn setting<'a>(
    graph: &mut Graph,
    order: &'a Order,
    wanted: &'a Wanted,
    kitchen: &'a KitchenFile,
    stores: &'a StoresFile,
    place: &'a Place,
) -> Result<Setting<'a>, PlanError> {
    let formula = &wanted.formula;
    let food = formula.food;
    let jar_row = find_jar(&wanted.jar)?;
    let lines = resolve(graph, formula, stores)?;
    let one_g: Vec<f64> = lines.iter().map(|l| graph.value(l.one_g)).collect();

    // The bath that takes most of these jars.
    let (bath, places) = kitchen
        .baths
        .iter()
        .filter_map(|b| b.holds(&jar_row.name).map(|n| (b, n as usize)))
        .max_by_key(|(_, n)| *n)
        .ok_or_else(|| {
            PlanError::asked(
                format!(
                    "no bath of {} says how many {} jars it takes",
                    kitchen.name, jar_row.name
                ),
                format!("add jars = {{ {} = N }} to a bath in the kitchen file", jar_row.name),
            )
        })?;
    let bath_burner = burner(kitchen, &bath.burner)?;

    // Headspace decides what fills a jar before the schedule is asked, so a claim helps first.
    let claimed = formula
        .schedule
        .as_ref()
        .and_then(|key| reference::schedules().iter().find(|s| s.key.eq_ignore_ascii_case(key)));
    let headspace_mm = formula
        .jar_headspace_mm
        .or_else(|| claimed.map(|s| s.headspace_in.value * words::MM_PER_INCH))
        .unwrap_or(USUAL_HEADSPACE_MM);
    let headspace = graph.entered(
        &format!("headspace:{}", formula.name),
        "headspace",
        Unit::Millimetre,
        headspace_mm,
        &formula.name,
    );
    let jar = jar_fill::jar(graph, jar_row, headspace);

    // What goes into the pot, and when.
    let is_pack = formula.pack.is_some();
    let in_food: Vec<usize> = (0..lines.len())
        .filter(|&i| lines[i].written.part != Some(Part::Soak))
        .collect();
    let rows: Vec<&reference::Ingredient> = in_food.iter().map(|&i| &lines[i].ingredient).collect();
    let mixture = Mixture::new(graph, &rows)?;
    let potted: Vec<usize> = (0..lines.len())
        .filter(|&i| {
            if is_pack {
                lines[i].written.part == Some(Part::Brine) && !lines[i].written.per_jar
            } else {
                !lines[i].written.per_jar
            }
        })
        .collect();
    if potted.is_empty() {
        return Err(PlanError::asked(
            format!("nothing of {} goes into a pot", formula.name),
            "mark the brine's lines with part = \"brine\"",
        ));
    }
    let (pot, pot_burner) = choose_pot(kitchen, &lines, formula)?;
    let pot_efficiency = efficiency(graph, pot_burner)?;
    let mut case = cook_case(graph, kitchen, pot, pot_burner, place, &lines, &potted, &one_g)?;
    let physics = |what: &str| {
        let what = format!("{what} of {}", formula.name);
        move |e: matter::MatterError| PlanError::physics(what.clone(), &e)
    };
    case.stop = case
        .stop_of(formula.stop_at.as_ref().map(|s| s.at))
        .map_err(physics("the endpoint"))?;
    check_brix(formula, &case)?;
    let stop_c = stop_temperature(graph, formula, &case, place)?;
    let end_brix = match case.stop {
        Stop::Brix(brix) => brix,
        Stop::Temperature(_) | Stop::Boiled(_) | Stop::AtTheBoil => case.all_in().brix(),
    };

    // How full of pieces a packed jar is.
    let pieces: Vec<usize> = (0..lines.len())
        .filter(|&i| lines[i].written.part == Some(Part::Pieces))
        .collect();
    let densities = pack_densities(&lines, &pieces, &case, graph).map_err(physics("the pack"))?;
    let pieces_share = formula.pack.as_ref().map_or(0.0, |pack| {
        1000.0 * pack.pieces_per_jar_g / densities.0 / graph.value(jar.volume_ml)
    });
    if pieces_share >= 0.95 {
        return Err(PlanError::asked(
            format!(
                "{:.0} g of pieces do not fit a {} with brine round them",
                formula.pack.as_ref().map_or(0.0, |p| p.pieces_per_jar_g),
                jar_row.name
            ),
            "fewer pieces in a jar, or a larger jar",
        ));
    }

    let boils_down = matches!(case.stop, Stop::Brix(_) | Stop::Boiled(_));
    let fill_c = fill_temperature(graph, formula, stop_c, &case, boils_down)?;
    let bath_efficiency = efficiency(graph, bath_burner)?;
    let steam_u = practice(graph, "steam_bowl_u_w_m2k", Unit::WattPerSquareMetreKelvin)?;
    Ok(Setting {
        order,
        wanted,
        kitchen,
        stores,
        place,
        formula,
        food,
        is_pack,
        jar_row,
        jar,
        headspace_mm,
        lines,
        one_g,
        potted,
        pieces,
        pieces_share,
        densities,
        mixture,
        bath,
        places,
        bath_burner,
        bath_efficiency,
        pot,
        pot_burner,
        efficiency: pot_efficiency,
        steam_u,
        case,
        stop_c,
        end_brix,
        fill_c,
    })
}

impl Setting<'_> {
    /// Whether the endpoint boils the food down.
    pub(crate) fn boils_down(&self) -> bool {
        matches!(self.case.stop, Stop::Brix(_) | Stop::Boiled(_))
    }

    /// The refractometer reading that stops the cook, as good as the instrument; `None` where
    /// something else stops it, or more is stirred in afterwards.
    pub(crate) fn read_brix(&self, graph: &mut Graph) -> Option<Id> {
        let Stop::Brix(brix) = self.case.stop else {
            return None;
        };
        if self.case.after.mass_kg() > 0.0 {
            return None;
        }
        Some(graph.leaf(Leaf {
            key: format!("read-brix:{}", self.formula.name),
            name: "refractometer reading at the end".into(),
            unit: Unit::Brix,
            value: brix,
            spread: Spread::Instrument {
                half_width: guard(self.formula, self.kitchen, InstrumentKind::Refractometer),
            },
            basis: Basis::Entered {
                by: self.formula.name.clone(),
            },
        }))
    }

    /// What the schedules are asked.
    pub(crate) fn schedule_case(&self, graph: &Graph) -> Case<'_> {
        let stop_c = self.stop_c.map(|id| graph.value(id));
        let boiled = !matches!(self.case.stop, Stop::Temperature(_));
        let drop_key = if boiled { "boiled_fill_drop_k" } else { "fill_drop_k" };
        Case {
            formula: self.formula,
            food: self.food,
            lines: &self.lines,
            masses_g: &self.one_g,
            jar: &self.jar_row.name,
            headspace_mm: self.headspace_mm,
            altitude_ft: self.place.altitude_m * words::FT_PER_M,
            stop_c,
            brix: self.end_brix,
            leaves_pot_c: stop_c.unwrap_or(self.place.boils_c),
            boils_c: self.place.boils_c,
            boils_down: self.boils_down(),
            fill_drop_most_k: reference::practice(drop_key).map_or(0.0, |p| p.value.high),
            pieces_share: self.pieces_share,
            pieces_share_most: reference::practice("pack_pieces_share_most").map_or(0.0, |p| p.value.value),
        }
    }
}

/// A jar on file, by its name.
pub(crate) fn find_jar(name: &str) -> Result<&'static JarRow, PlanError> {
    reference::jar(name).ok_or_else(|| {
        let names = || reference::jars().iter().map(|j| j.name.as_str());
        let near = nearest(name, names());
        let all: Vec<&str> = names().collect();
        PlanError::asked(
            format!("unknown jar \"{name}\""),
            near.map_or_else(
                || format!("one of: {}", all.join(", ")),
                |n| format!("did you mean \"{n}\"? known: {}", all.join(", ")),
            ),
        )
    })
}
