//! A pot of food on a burner or over steam: how long, how much water goes.
//!
//! One temperature for food and pot. Heat comes in from the burner or through the bowl from
//! steam; it leaves by convection, radiation and vapour from the open surface. Below the boil
//! the temperature is the independent variable, at the boil the water gone is, so a target is
//! met exactly and the steps are bounded. What hot food does to eggs or pectin is not known here.
//!
//! Read next: `march.rs` (the steps), `potful.rs` (heat against temperature).

use jarwright_figure::{Equation, OutOfRange};
use jarwright_matter::{Food, water_to_remove_kg};

use crate::HeatError;
use crate::march::March;

/// Registry entry of [`cook_to_c`].
pub static POT_HEATS: Equation = Equation {
    key: "pot-heats",
    title: "A pot heating up",
    text: "(m c + C_pot) dT/dt = Q_in(T) - Q_convection - Q_radiation - h_fg m_evap(T); \
           Q_in = burner, or min(burner, U A (T_steam - T))",
    source: "incropera_heat_mass",
};

/// Registry entry of [`boil_to_brix`] and [`boil_for`].
pub static POT_BOILS: Equation = Equation {
    key: "pot-boils",
    title: "A pot boiling down",
    text: "h_fg dw/dt + (m c + C_pot) dT_boil/dt = Q_in - Q_convection - Q_radiation, \
           T_boil of what is left",
    source: "incropera_heat_mass",
};

/// Registry entry of [`bowl`].
pub static BOWL: Equation = Equation {
    key: "bowl-cap",
    title: "A half-round bowl filled to a depth",
    text: "V = pi d^2 (3 R - d)/3; wetted 2 pi R d; open pi d (2 R - d)",
    source: "arithmetic",
};

/// Share of the coefficient that is left when nobody stirs.
///
/// # Source
/// `earle_unit_operations`, text round table 6.1: jacketed pans without agitation take about
/// half the tabulated coefficient.
pub const UNSTIRRED_SHARE: f64 = 0.5;

/// Where the heat comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Heating {
    /// Straight from a burner.
    Direct {
        /// Power into pot and food [W]: rating times efficiency.
        into_pot_w: f64,
    },
    /// A bowl over simmering water.
    OverSteam {
        /// Steam under the bowl [°C].
        steam_c: f64,
        /// Area the food wets from inside [m²]; see [`steam_contact_area_m2`].
        area_m2: f64,
        /// Overall coefficient from steam to stirred food [W/(m² K)].
        u_w_m2k: f64,
        /// Power that makes the steam [W].
        burner_w: f64,
    },
}

/// A pot and where it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pot {
    /// Where the heat comes from.
    pub heating: Heating,
    /// Open surface of the food [m²], 0 with a lid that lets nothing out.
    pub surface_m2: f64,
    /// Diameter of that surface [m].
    pub diameter_m: f64,
    /// Heat capacity of the pot [J/K], 0 if the burner's efficiency counts it.
    pub pot_j_k: f64,
    /// Temperature of the room [°C].
    pub room_c: f64,
    /// Relative humidity of the room, 0 to 1.
    pub humidity: f64,
    /// Pressure of the room [Pa].
    pub pressure_pa: f64,
    /// Whether someone stirs: over steam, an unstirred food takes [`UNSTIRRED_SHARE`].
    pub stirred: bool,
}

/// What is in the pot when the heat goes on.
#[derive(Debug, Clone, PartialEq)]
pub struct Charge {
    /// Food.
    pub food: Food,
    /// Its temperature, and the pot's [°C], 0 to 110.
    pub start_c: f64,
}

/// Something stirred in on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct Addition {
    /// Food.
    pub food: Food,
    /// Its own temperature [°C], 0 to 110.
    pub c: f64,
    /// Goes in when the pot reaches this [°C]; at the start if none.
    pub when_c: Option<f64>,
}

/// What a cook came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Cook {
    /// Whole time [s].
    pub seconds: f64,
    /// Of it, heating up [s].
    pub heating_s: f64,
    /// Of it, held or boiling [s].
    pub boiling_s: f64,
    /// Water that went off [kg].
    pub evaporated_kg: f64,
    /// Heat into pot and food [J].
    pub energy_j: f64,
    /// Of it, lost by convection and radiation [J].
    pub lost_j: f64,
    /// Of it, gone with the vapour, above liquid water of 0 °C [J].
    pub vapour_j: f64,
    /// Temperature at the end [°C].
    pub end_c: f64,
    /// Whether it boiled all the while it was to boil: false where it stood below its boil, its
    /// whole heat going off through the surface. True for a cook to a temperature.
    pub boils: bool,
    /// What is left in the pot.
    pub food: Food,
    /// Pot's temperature over time: (s, °C). A drop at one time is an addition.
    pub curve: Vec<(f64, f64)>,
}

/// Heats a pot to a temperature and holds it there.
///
/// ```text
/// (m c + C_pot) dT/dt = Q_in(T) - Q_convection - Q_radiation - h_fg m_evap(T)
/// Q_in = burner   or   min(burner, U A (T_steam - T))
/// ```
///
/// * `pot`, `charge`: the pot and what is in it
/// * `additions`: what goes in on the way, none hotter than the target in `when_c`; one that
///   goes in at the target is heated back to it
/// * `target_c`: temperature asked for [°C]; a pot already hotter is not cooled
/// * `hold_s`: time held there [s], 0 to 86400, the burner turned down to the losses
///
/// The heat of melting fat is not counted: from memory some 5 % of what a curd with cold butter
/// takes. A room warmer than the food gives it no heat.
///
/// # Errors
/// [`HeatError::NeverReaches`] where losses, steam or the boil stop the pot below a target;
/// [`HeatError::OutOfRange`] and [`HeatError::Matter`] for inputs.
///
/// # Source
/// Lumped energy balance, `incropera_heat_mass` chapter 5; surface as in [`crate::films::open_surface`].
pub fn cook_to_c(
    pot: &Pot,
    charge: &Charge,
    additions: &[Addition],
    target_c: f64,
    hold_s: f64,
) -> Result<Cook, HeatError> {
    OutOfRange::check("target", target_c, 0.0, 150.0, "°C", POT_HEATS.source)?;
    OutOfRange::check("hold", hold_s, 0.0, 86_400.0, "s", POT_HEATS.source)?;
    let mut march = March::new(pot, charge)?;
    for addition in in_order(additions, target_c)? {
        march.add(addition)?;
    }
    march.heat_to(target_c)?;
    march.hold(hold_s)?;
    march.finish()
}

/// Heats a pot to its boil and boils it down to a degree Brix.
///
/// ```text
/// h_fg dw/dt + (m c + C_pot) dT_boil/dt = Q_in - Q_convection - Q_radiation
/// ```
///
/// * `brix`: soluble solids asked for [% of the whole mass]
/// * `additions`: go in on the way to the first boil
///
/// The boiling point rises with what is left; `end_c` is where the cook finds the target today.
///
/// A wide pan on a weak burner may send its whole heat off as vapour before it boils. It then
/// stands below its boil, where
///
/// ```text
/// Q_in - Q_convection - Q_radiation = h_fg m_evap(T) + (m c + C_pot) dT/dt
/// ```
///
/// and still thickens: `boils` is false and `end_c` lies below the boiling point of what is left,
/// so a thermometer does not show the end. A charge so close to its degree Brix that it is there
/// before it boils ends there.
///
/// # Errors
/// [`HeatError::NeverReaches`] where the pot does not boil and what evaporates would need more
/// than a day; [`HeatError::Matter`] where the food is already thicker or dries out first.
///
/// # Source
/// As [`cook_to_c`]; boiling point by [`jarwright_matter::food_boils_c`].
pub fn boil_to_brix(pot: &Pot, charge: &Charge, additions: &[Addition], brix: f64) -> Result<Cook, HeatError> {
    let mut march = all_in(pot, charge, additions)?;
    let gone_kg = march.gone_kg() + water_to_remove_kg(&march.food_now()?, brix)?;
    if march.heat_until(gone_kg)? {
        march.never_boiled();
    } else {
        march.boil_off(gone_kg - march.gone_kg())?;
    }
    march.finish()
}

/// Heats a pot to its boil and boils it for a time.
///
/// * `minutes`: time at the boil [min], 0 to 1440
/// * `additions`: go in on the way to the first boil
///
/// A pot that stands up to 10 K below its boil, its whole heat going off through the surface,
/// simmers: the minutes count and `boils` is false.
///
/// # Errors
/// [`HeatError::NeverReaches`] where it stands lower; [`HeatError::Matter`] where it dries out.
///
/// # Source
/// As [`boil_to_brix`]; how far below the boil still counts as a simmer is `common_practice`.
pub fn boil_for(pot: &Pot, charge: &Charge, additions: &[Addition], minutes: f64) -> Result<Cook, HeatError> {
    OutOfRange::check("boil", minutes, 0.0, 1440.0, "min", POT_BOILS.source)?;
    let mut march = all_in(pot, charge, additions)?;
    march.heat_until(f64::INFINITY)?;
    march.boil_for(60.0 * minutes)?;
    march.finish()
}

fn all_in<'a>(pot: &'a Pot, charge: &Charge, additions: &[Addition]) -> Result<March<'a>, HeatError> {
    let mut march = March::new(pot, charge)?;
    for addition in in_order(additions, 150.0)? {
        march.add(addition)?;
    }
    Ok(march)
}

/// Additions by the temperature they go in at, those without one first.
pub(crate) fn in_order(additions: &[Addition], target_c: f64) -> Result<Vec<&Addition>, HeatError> {
    let at = |addition: &Addition| addition.when_c.unwrap_or(f64::NEG_INFINITY);
    for addition in additions {
        if let Some(when_c) = addition.when_c {
            OutOfRange::check(
                "pot when an addition goes in",
                when_c,
                0.0,
                target_c,
                "°C",
                POT_HEATS.source,
            )?;
        }
    }
    let mut order: Vec<&Addition> = additions.iter().collect();
    order.sort_by(|a, b| at(a).total_cmp(&at(b)));
    Ok(order)
}

/// A half-round bowl with food in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bowl {
    /// Depth of the food [m].
    pub depth_m: f64,
    /// Area it wets, which steam can heat [m²].
    pub wetted_m2: f64,
    /// Open surface [m²].
    pub open_m2: f64,
    /// Diameter of the open surface [m].
    pub open_diameter_m: f64,
}

/// A half-round bowl filled with a volume.
///
/// ```text
/// V = pi d^2 (3 R - d)/3      wetted = 2 pi R d      open = pi d (2 R - d)
/// ```
///
/// * `bowl_diameter_m`: diameter at the rim [m], 0.02 to 3
/// * `volume_m3`: food [m³], above 0 and at most the half sphere
///
/// # Errors
/// [`HeatError::OutOfRange`].
///
/// # Source
/// Spherical cap, geometry.
pub fn bowl(bowl_diameter_m: f64, volume_m3: f64) -> Result<Bowl, HeatError> {
    use std::f64::consts::PI;
    OutOfRange::check("bowl", bowl_diameter_m, 0.02, 3.0, "m", BOWL.source)?;
    let radius_m = 0.5 * bowl_diameter_m;
    let full_m3 = 2.0 / 3.0 * PI * radius_m.powi(3);
    OutOfRange::check(
        "food in the bowl",
        volume_m3,
        f64::MIN_POSITIVE,
        // A hair of room for who computes the half sphere another way.
        full_m3 * (1.0 + 1e-12),
        "m³",
        BOWL.source,
    )?;
    let (mut low, mut high) = (0.0, radius_m);
    for _ in 0..52 {
        let depth_m: f64 = 0.5 * (low + high);
        if PI * depth_m.powi(2) * (3.0 * radius_m - depth_m) / 3.0 < volume_m3 {
            low = depth_m;
        } else {
            high = depth_m;
        }
    }
    let depth_m = 0.5 * (low + high);
    let open_m2 = PI * depth_m * (2.0 * radius_m - depth_m);
    Ok(Bowl {
        depth_m,
        wetted_m2: 2.0 * PI * radius_m * depth_m,
        open_m2,
        open_diameter_m: (4.0 * open_m2 / PI).sqrt(),
    })
}

/// Area of a half-round bowl that its food wets, and steam can heat [m²].
///
/// # Errors
/// As [`bowl`].
///
/// # Source
/// As [`bowl`].
pub fn steam_contact_area_m2(bowl_diameter_m: f64, volume_m3: f64) -> Result<f64, HeatError> {
    Ok(bowl(bowl_diameter_m, volume_m3)?.wetted_m2)
}
