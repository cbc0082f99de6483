//! Cooling in pans and jars, the two-stage rule, ice and freezing.

use jarwright_figure::Equation;

use crate::HeatError;
use crate::jar::Contents;

/// Registry entry of [`pan_cooling`].
pub static PAN_COOLING: Equation = Equation {
    key: "pan-cooling",
    title: "Centre of a layer cooled from both faces",
    text: "(T - Ta)/(T0 - Ta) = sum C_n exp(-z_n^2 Fo), z tan z = Bi, C = 4 sin z/(2 z + sin 2 z), \
           Bi = h (d/2)/k, Fo = a t/(d/2)^2",
    source: "carslaw_jaeger_1959",
};

/// Registry entry of [`TwoPoint`].
pub static TWO_POINT_COOLING: Equation = Equation {
    key: "two-point-cooling",
    title: "Cooling forecast from two readings",
    text: "T(t) = Ts + (T1 - Ts) exp(-r t), r = ln((T1 - Ts)/(T2 - Ts))/(t2 - t1)",
    source: "igo_hedeen_schaffner",
};

/// Registry entry of [`ice_kg`].
pub static ICE_TO_COOL: Equation = Equation {
    key: "ice-to-cool",
    title: "Ice that takes up a heat",
    text: "m = Q / (L + c T_end)  [kg], ice at 0 °C, melt water leaving at T_end",
    source: "ashrae_refrigeration_2006",
};

/// Registry entry of [`plank_freezing_s`].
pub static PLANK_FREEZING: Equation = Equation {
    key: "plank-freezing",
    title: "Freezing time by Plank",
    text: "t = L rho/(Tf - Ta) (P d/h + R d^2/k)  [s]; slab P 1/2 R 1/8, cylinder 1/4 1/16, sphere 1/6 1/24",
    source: "geankoplis_transport",
};

/// When a cooling food passes the rule's two marks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanCooling {
    /// Time from 57 °C to 21 °C [s]; `None` if it never gets there.
    pub to_21_s: Option<f64>,
    /// Time from 57 °C to 5 °C [s]; `None` if it never gets there.
    pub to_5_s: Option<f64>,
    /// Whether both are within their limits, 2 h and 6 h.
    pub passes: bool,
}

/// Cooling of a layer from both faces
pub fn pan_cooling(
    depth_m: f64,
    contents: &Contents,
    film_w_m2k: f64,
    start_c: f64,
    air_c: f64,
) -> Result<PanCooling, HeatError> {
    let _ = (depth_m, contents, film_w_m2k, start_c, air_c);
    Ok(PanCooling {
        to_21_s: None,
        to_5_s: None,
        passes: false,
    })
}

/// Greatest depth [m] that passes the two-stage rule; `None` where not even the thinnest does
pub fn greatest_depth_m(
    contents: &Contents,
    film_w_m2k: f64,
    start_c: f64,
    air_c: f64,
) -> Result<Option<f64>, HeatError> {
    let _ = (contents, film_w_m2k, start_c, air_c);
    Ok(None)
}

/// The two-stage rule on a cooling curve
pub fn two_stage(times_s: &[f64], temps_c: &[f64]) -> Result<PanCooling, HeatError> {
    let _ = (times_s, temps_c);
    Ok(PanCooling {
        to_21_s: None,
        to_5_s: None,
        passes: false,
    })
}

/// Ice [kg] that takes up a heat
pub fn ice_kg(heat_j: f64, melt_water_c: f64) -> Result<f64, HeatError> {
    let _ = (heat_j, melt_water_c);
    Ok(0.0)
}

/// Cooling towards a sink, from two readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoPoint {
    /// First reading [°C].
    pub first_c: f64,
    /// Temperature it tends to [°C].
    pub sink_c: f64,
    /// Rate [1/s].
    pub rate_per_s: f64,
}

/// Shape of what freezes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FreezingShape {
    /// A slab of this thickness.
    Slab,
    /// A long cylinder of this diameter.
    Cylinder,
    /// A sphere of this diameter.
    Sphere,
}

/// What freezes, and in what.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Freezing {
    /// Shape.
    pub shape: FreezingShape,
    /// Thickness or diameter [m].
    pub size_m: f64,
    /// Film [W/(m² K)].
    pub film_w_m2k: f64,
    /// Conductivity of the frozen food [W/(m K)].
    pub frozen_k_w_mk: f64,
    /// Density [kg/m³].
    pub density_kg_m3: f64,
    /// Latent heat of the food [J/kg].
    pub latent_j_kg: f64,
    /// Temperature at which it begins to freeze [°C].
    pub freezes_c: f64,
    /// Temperature of the freezer's air [°C].
    pub air_c: f64,
}

/// Freezing time by Plank [s]
pub fn plank_freezing_s(freezing: &Freezing) -> Result<f64, HeatError> {
    let _ = freezing;
    Ok(0.0)
}
