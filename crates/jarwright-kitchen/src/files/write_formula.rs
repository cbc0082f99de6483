//! Writing a formula file.

use std::fmt::Write;

use super::formula::{FormulaFile, FormulaLine, GoesIn, Letter, Measured};
use super::formula_words::{cup_word, part_word};
use super::number;
use super::write::quoted;

/// A formula file that [`super::read_formula_with`] reads back to the same formula.
///
/// * `about`: lines of comment at its head, without their mark
#[must_use]
pub fn formula_text(formula: &FormulaFile, about: &[String]) -> String {
    let mut out = String::new();
    // Writing into a string cannot fail.
    let _ = write_formula(&mut out, formula, about);
    out
}

fn write_formula(out: &mut String, formula: &FormulaFile, about: &[String]) -> std::fmt::Result {
    let q = quoted;
    for line in about.iter().flat_map(|text| text.lines()) {
        let plain: String = line.chars().filter(|c| !c.is_control()).collect();
        writeln!(out, "# {}", plain.trim())?;
    }
    writeln!(out, "name = {}", q(&formula.name))?;
    writeln!(out, "food = {}", q(formula.food.word()))?;
    if let Some(cup) = formula.cup {
        writeln!(out, "cup = {}", q(cup_word(cup)))?;
    }
    if let Some(schedule) = &formula.schedule {
        writeln!(out, "schedule = {}", q(schedule))?;
    }
    if let Some(stop) = &formula.stop_at {
        writeln!(out, "stop_at = {}", q(&stop.words))?;
    }
    if let Some(mm) = formula.jar_headspace_mm {
        writeln!(out, "jar_headspace = {}", q(&headspace(mm)))?;
    }
    if let Some(c) = formula.fill_at_c {
        writeln!(out, "fill_at = {}", q(&format!("{} C", plain(c))))?;
    }
    if let Some(pack) = &formula.pack {
        writeln!(out, "\n[pack]")?;
        writeln!(
            out,
            "pieces_per_jar = {}",
            q(&format!("{} g", plain(pack.pieces_per_jar_g)))
        )?;
    }
    if let Some(measured) = &formula.measured {
        write_measured(out, measured)?;
    }
    for line in &formula.lines {
        write_line(out, line)?;
    }
    if let Some(letter) = &formula.letter {
        write_letter(out, letter)?;
    }
    Ok(())
}

fn write_line(out: &mut String, line: &FormulaLine) -> std::fmt::Result {
    let q = quoted;
    writeln!(out, "\n[[line]]")?;
    writeln!(out, "ingredient = {}", q(&line.ingredient))?;
    writeln!(out, "amount = {}", q(&line.amount.to_string()))?;
    if let Some(form) = &line.form {
        writeln!(out, "form = {}", q(form))?;
    }
    if let Some(step) = &line.step {
        writeln!(out, "step = {}", q(step))?;
    }
    match line.goes_in {
        GoesIn::Start => {}
        GoesIn::When { c } => writeln!(out, "goes_in = {}", q(&format!("{} C", plain(c))))?,
        GoesIn::End => writeln!(out, "goes_in = \"end\"")?,
    }
    if line.sieved_out > 0.0 {
        writeln!(
            out,
            "sieved_out = {}",
            q(&format!("{} %", plain(100.0 * line.sieved_out)))
        )?;
    }
    if line.per_jar {
        writeln!(out, "per_jar = true")?;
    }
    if let Some(part) = line.part {
        writeln!(out, "part = {}", q(part_word(part)))?;
    }
    Ok(())
}

fn write_measured(out: &mut String, measured: &Measured) -> std::fmt::Result {
    writeln!(out, "\n[measured]")?;
    for (key, value) in [
        ("ph", measured.ph),
        ("brix", measured.brix),
        ("water_activity", measured.water_activity),
    ] {
        if let Some(value) = value {
            writeln!(out, "{key} = {value:?}")?;
        }
    }
    writeln!(out, "by = {}", quoted(&measured.by))?;
    writeln!(out, "when = {}", measured.when)?;
    if let Some(instrument) = &measured.instrument {
        writeln!(out, "instrument = {}", quoted(instrument))?;
    }
    Ok(())
}

fn write_letter(out: &mut String, letter: &Letter) -> std::fmt::Result {
    let q = quoted;
    writeln!(out, "\n[letter]")?;
    writeln!(out, "signer = {}", q(&letter.signer))?;
    if let Some(signed) = letter.signed {
        writeln!(out, "signed = {signed}")?;
    }
    writeln!(out, "expires = {}", letter.expires)?;
    writeln!(out, "jar = {}", q(&letter.jar))?;
    writeln!(out, "minutes = {:?}", letter.minutes)?;
    writeln!(
        out,
        "altitude_to = {}",
        q(&format!("{} m", plain(letter.altitude_to_m)))
    )?;
    writeln!(out, "ph_max = {:?}", letter.ph_max)?;
    if let Some(mm) = letter.headspace_mm {
        writeln!(out, "headspace = {}", q(&headspace(mm)))?;
    }
    if let Some(c) = letter.fill_min_c {
        writeln!(out, "fill_min = {}", q(&format!("{} C", plain(c))))?;
    }
    if let Some(c) = letter.bath_start_max_c {
        writeln!(out, "bath_start_max = {}", q(&format!("{} C", plain(c))))?;
    }
    writeln!(out, "text = {}", q(&letter.text))?;
    for (ingredient, share) in &letter.shares {
        writeln!(out, "\n[[letter.line]]")?;
        writeln!(out, "ingredient = {}", q(ingredient))?;
        writeln!(out, "share = {}", q(&format!("{} %", plain(100.0 * share))))?;
    }
    Ok(())
}

/// A number without the tail of binary fractions, as the files' reader takes it.
fn plain(value: f64) -> String {
    format!("{}", (value * 1e9).round() / 1e9)
}

/// Inches where they were meant: every quarter and eighth comes out even.
fn headspace(mm: f64) -> String {
    let eighths = mm / 25.4 * 8.0;
    if (eighths - eighths.round()).abs() < 1e-6 && eighths.round() >= 1.0 {
        format!("{} in", number::write(eighths.round() / 8.0))
    } else {
        format!("{} mm", plain(mm))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::read_formula;

    fn without_places(mut formula: FormulaFile) -> FormulaFile {
        for line in &mut formula.lines {
            line.ingredient_at = 0..0;
            line.amount_at = 0..0;
        }
        formula
    }

    const LETTERED: &str = r#"
name = "Pepper \"hot\" jelly"
food = "jelly"
stop_at = "boil + 8 F"
jar_headspace = "3 mm"
fill_at = "185 F"
[measured]
ph = 3.21
brix = 66
by = "A cook"
when = 2026-03-01
[letter]
signer = "An authority"
signed = 2026-01-02
expires = 2027-01-02
jar = "half-pint"
minutes = 12
altitude_to = "1000 ft"
ph_max = 3.9
headspace = "1/4 in"
fill_min = "180 F"
text = "As filed.\nTwo lines."
[[letter.line]]
ingredient = "sugar"
share = "61.3 %"
[[line]]
ingredient = "sugar"
amount = "2/3 kg"
[[line]]
ingredient = "lime juice, bottled"
amount = "300 g"
sieved_out = "12.5 %"
goes_in = "end"
[[line]]
ingredient = "honey"
amount = "3.7 oz"
goes_in = "140 F"
step = "stir it in"
"#;

    #[test]
    fn a_formula_written_and_read_again_is_the_same() {
        for text in [
            LETTERED,
            include_str!("../../../../demo/formulas/lime-curd.toml"),
            include_str!("../../../../demo/formulas/passion-fruit-curd.toml"),
            include_str!("../../../../demo/formulas/apricot-jam.toml"),
            include_str!("../../../../demo/formulas/dill-pickles.toml"),
        ] {
            let first = read_formula("a.toml", text).map_err(|p| format!("{p:?}"));
            assert!(first.is_ok(), "{first:?}");
            let Ok(first) = first else { return };
            let written = formula_text(&first, &["a note".into()]);
            let again = read_formula("b.toml", &written).map_err(|p| format!("{p:?}\n{written}"));
            let mut again = again.map(without_places);
            // Temperatures keep nine decimals.
            if let (Ok(again), Some(c)) = (&mut again, first.fill_at_c) {
                assert!(again.fill_at_c.is_some_and(|got| (got - c).abs() < 1e-8));
                again.fill_at_c = first.fill_at_c;
            }
            let near = |got: &mut Option<f64>, was: Option<f64>| {
                if let (Some(g), Some(w)) = (*got, was)
                    && (g - w).abs() < 1e-6
                {
                    *got = was;
                }
            };
            if let (Ok(again), Some(was)) = (&mut again, &first.letter)
                && let Some(letter) = &mut again.letter
            {
                near(&mut letter.fill_min_c, was.fill_min_c);
                near(&mut letter.headspace_mm, was.headspace_mm);
                let mut altitude = Some(letter.altitude_to_m);
                near(&mut altitude, Some(was.altitude_to_m));
                letter.altitude_to_m = altitude.unwrap_or_default();
            }
            assert_eq!(again, Ok(without_places(first)));
        }
    }
}
