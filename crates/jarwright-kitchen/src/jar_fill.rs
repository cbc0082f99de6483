//! What fills a jar: volume below the headspace, and its mass at the fill temperature.

use jarwright_figure::{Equation, Graph, Id, Unit};
use jarwright_heat::jar::JarBody;
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

/// Container glass.
pub(crate) struct Glass {
    pub(crate) conductivity_w_mk: f64,
    pub(crate) density_kg_m3: f64,
    pub(crate) heat_capacity_j_kgk: f64,
}

/// Soda-lime container glass (`container_glass_pages`), as in the table of practice.
pub(crate) const GLASS: Glass = Glass {
    conductivity_w_mk: 1.05,
    density_kg_m3: 2520.0,
    heat_capacity_j_kgk: 820.0,
};

/// The jar for the heat solvers, from inner radius, food height, wall and base [mm].
pub(crate) fn body(mm: &[f64]) -> JarBody {
    JarBody {
        inner_radius_m: mm[0] / 1000.0,
        food_height_m: mm[1] / 1000.0,
        wall_m: mm[2] / 1000.0,
        base_m: mm[3] / 1000.0,
        glass_k_w_mk: GLASS.conductivity_w_mk,
        glass_density_kg_m3: GLASS.density_kg_m3,
        glass_cp_j_kgk: GLASS.heat_capacity_j_kgk,
    }
}

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

#[cfg(test)]
mod tests {
    use super::GLASS;

    #[test]
    fn the_glass_is_the_one_in_the_table_of_practice() {
        let table = |key| jarwright_reference::practice(key).map(|row| row.value.value);
        assert_eq!(table("glass_k_w_mk"), Some(GLASS.conductivity_w_mk));
        assert_eq!(table("glass_density_kg_m3"), Some(GLASS.density_kg_m3));
        assert_eq!(table("glass_cp_j_kgk"), Some(GLASS.heat_capacity_j_kgk));
    }
}
