//! Jars: what they hold and what they are made like.

use std::sync::OnceLock;

use jarwright_figure::Cited;

use crate::cell;
use crate::table::{self, Row, Table};

/// One kind of glass jar.
#[derive(Debug, Clone, PartialEq)]
pub struct JarRow {
    /// Name, such as `half-pint` or `190 ml`.
    pub name: String,
    /// Other names the trade uses for it.
    pub aliases: Vec<String>,
    /// Volume to the brim [mL].
    pub volume_ml: Cited,
    /// Outer height without the lid [mm].
    pub height_mm: Cited,
    /// Outer diameter [mm].
    pub diameter_mm: Cited,
    /// Inner diameter of the mouth [mm]; with the headspace it gives the volume left empty.
    pub mouth_mm: Cited,
    /// Thickness of the side wall [mm].
    pub wall_mm: Cited,
    /// Thickness of the base [mm].
    pub base_mm: Cited,
    /// Mass of the empty glass [g].
    pub glass_g: Cited,
}

fn parse(row: &Row) -> Result<JarRow, String> {
    let (source, place) = (row.text("source")?, row.text("place")?);
    let cited = |column| cell::cited(&row.text(column)?, &source, &place);
    Ok(JarRow {
        name: row.text("name")?,
        aliases: row.list("aliases")?,
        volume_ml: cited("volume_ml")?,
        height_mm: cited("height_mm")?,
        diameter_mm: cited("diameter_mm")?,
        mouth_mm: cited("mouth_mm")?,
        wall_mm: cited("wall_mm")?,
        base_mm: cited("base_mm")?,
        glass_g: cited("glass_g")?,
    })
}

fn load() -> Table<JarRow> {
    let mut all = table::read(include_str!("../data/jars/us_retail_pages.csv"), parse);
    all.append(table::read(include_str!("../data/jars/metric_trade.csv"), parse));
    all
}

/// Every jar known.
pub fn jars() -> &'static [JarRow] {
    static ROWS: OnceLock<Vec<JarRow>> = OnceLock::new();
    ROWS.get_or_init(|| load().rows)
}

/// The jar of a name or alias, whatever its case.
#[must_use]
pub fn jar(name: &str) -> Option<&'static JarRow> {
    let name = name.trim();
    jars().iter().find(|row| {
        row.name.eq_ignore_ascii_case(name) || row.aliases.iter().any(|alias| alias.eq_ignore_ascii_case(name))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_jar_tables_can_be_read() {
        assert_eq!(load().faults, Vec::<String>::new());
        assert!(jars().len() >= 9);
    }

    #[test]
    fn a_jar_has_room_for_its_volume_and_no_more_than_its_outside() {
        for row in jars() {
            let inner_mm = row.diameter_mm.value - 2.0 * row.wall_mm.value;
            let inside_ml =
                std::f64::consts::FRAC_PI_4 * inner_mm.powi(2) * (row.height_mm.value - row.base_mm.value) / 1000.0;
            let ratio = row.volume_ml.value / inside_ml;
            assert!(
                (0.65..=1.02).contains(&ratio),
                "{} fills {ratio:.2} of its cylinder",
                row.name
            );
            assert!(row.mouth_mm.value < row.diameter_mm.value, "{}", row.name);
        }
    }

    #[test]
    fn glass_weighs_what_its_walls_say() {
        // Walls are known to half a millimetre in three, so no better than a third.
        for row in jars() {
            let (d, h) = (row.diameter_mm.value / 1000.0, row.height_mm.value / 1000.0);
            let wall_kg = std::f64::consts::PI * d * h * row.wall_mm.value / 1000.0 * 2520.0;
            let base_kg = std::f64::consts::FRAC_PI_4 * d * d * row.base_mm.value / 1000.0 * 2520.0;
            let ratio = row.glass_g.value / 1000.0 / (wall_kg + base_kg);
            assert!((0.65..=1.35).contains(&ratio), "{} {ratio:.2}", row.name);
        }
    }

    #[test]
    fn a_jar_is_found_by_either_name() {
        assert_eq!(jar("4 oz").map(|row| row.name.as_str()), Some("quarter-pint"));
        assert_eq!(jar(" Half-Pint ").map(|row| row.name.as_str()), Some("half-pint"));
        assert_eq!(jar("bucket"), None);
    }
}
