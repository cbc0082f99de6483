//! What fills a jar: volume below the headspace, and its mass at the fill temperature.

use jarwright_figure::{Equation, Graph, Id, Unit};
use jarwright_reference::JarRow;

/// Volume of food in a jar.
pub static FILL_VOLUME: Equation = Equation {
    key: "fill-volume",
    title: "Volume below the headspace",
    text: "V = V_brim - (pi/4) d_mouth^2 h_headspace",
    source: "geometry",
};

/// Mass of food in a jar.
pub static FILL_MASS: Equation = Equation {
    key: "fill-mass",
    title: "Mass that fills a jar",
    text: "m = V rho(T_fill)",
    source: "mass_balance",
};

/// Inner radius and height of the food as a cylinder.
pub static FILL_CYLINDER: Equation = Equation {
    key: "fill-cylinder",
    title: "The jar's food as a cylinder",
    text: "a = d_outer/2 - wall; height = V / (pi a^2)",
    source: "geometry",
};

/// Handles of a jar's quantities.
#[derive(Debug, Clone)]
pub(crate) struct JarIds {
    pub(crate) volume_ml: Id,
    pub(crate) radius_mm: Id,
    pub(crate) height_mm: Id,
    pub(crate) wall_mm: Id,
    pub(crate) base_mm: Id,
    pub(crate) glass_g: Id,
}

pub(crate) fn jar(graph: &mut Graph, row: &JarRow, headspace_mm: Id) -> JarIds {
    let key = |what: &str| format!("jar:{}:{what}", row.name);
    let brim = graph.published(
        &key("brim"),
        &format!("{} to the brim", row.name),
        Unit::Millilitre,
        &row.volume_ml,
    );
    let mouth = graph.published(
        &key("mouth"),
        &format!("mouth of the {}", row.name),
        Unit::Millimetre,
        &row.mouth_mm,
    );
    let outer = graph.published(
        &key("outer"),
        &format!("width of the {}", row.name),
        Unit::Millimetre,
        &row.diameter_mm,
    );
    let wall_mm = graph.published(&key("wall"), "glass of the side", Unit::Millimetre, &row.wall_mm);
    let base_mm = graph.published(&key("base"), "glass of the base", Unit::Millimetre, &row.base_mm);
    let glass_g = graph.published(
        &key("glass"),
        &format!("an empty {}", row.name),
        Unit::Gram,
        &row.glass_g,
    );
    let volume_ml = infallible(graph.compute(
        "food in a jar",
        Unit::Millilitre,
        &FILL_VOLUME,
        &[brim, mouth, headspace_mm],
        |x| Ok(x[0] - std::f64::consts::FRAC_PI_4 * x[1] * x[1] * x[2] / 1000.0),
    ));
    let [radius_mm, height_mm] = infallible(graph.compute_many(
        [
            ("inner radius", Unit::Millimetre),
            ("height of the food", Unit::Millimetre),
        ],
        &FILL_CYLINDER,
        &[volume_ml, outer, wall_mm],
        |x| {
            let a = x[1] / 2.0 - x[2];
            Ok([a, 1000.0 * x[0] / (std::f64::consts::PI * a * a)])
        },
    ));
    JarIds {
        volume_ml,
        radius_mm,
        height_mm,
        wall_mm,
        base_mm,
        glass_g,
    }
}

/// Mass [g] of food of `density` in the jar.
pub(crate) fn fill_g(graph: &mut Graph, volume_ml: Id, density: Id) -> Id {
    infallible(graph.compute(
        "food in a jar by mass",
        Unit::Gram,
        &FILL_MASS,
        &[volume_ml, density],
        |x| Ok(x[0] * x[1] / 1000.0),
    ))
}

/// Plain arithmetic cannot fail.
pub(crate) fn infallible<T>(result: Result<T, std::convert::Infallible>) -> T {
    match result {
        Ok(value) => value,
        Err(never) => match never {},
    }
}
