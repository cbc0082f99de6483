//! `jarwright setup`: a kitchen, question by question.

use std::io::{BufRead, Write};
use std::path::PathBuf;

use jarwright_kitchen::files::{
    self, BathAnswer, BurnerAnswer, Fault, Fuel, KitchenAnswers, Money, PotAnswer, PotKind, quantity,
};

use crate::data_dir::{DataDir, make_dir, write_whole};
use crate::dialogue::{Checked, Dialogue};
use crate::exit::{Exit, Stop};
use crate::problem_report::Faulty;

const EXAMPLES: &str = "\
Examples:
  jarwright setup                       in the data folder
  jarwright setup --data my-kitchen

Enter takes the answer in [brackets]. Nothing is written before the last answer.";

/// Most burners, pots, baths or jar sizes asked for.
const MOST_THINGS: usize = 12;

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// Data folder [default: JARWRIGHT_DATA, else the platform's usual place]
    #[arg(long, value_name = "DIR")]
    data: Option<PathBuf>,
}

/// Asks, then writes the kitchen file.
///
/// # Errors
/// [`Stop`] when the answers end early or the file cannot be written.
pub fn run(args: &Args) -> Result<Exit, Stop> {
    let data = DataDir::find(args.data.as_deref())?;
    let path = data.kitchen();
    let mut dialogue = Dialogue {
        input: std::io::stdin().lock(),
        output: std::io::stdout().lock(),
    };
    if path.symlink_metadata().is_ok() {
        dialogue.say(&format!("There is a kitchen already: {}\n", path.display()))?;
        if !dialogue.yes("Replace it with a new one?", false)? {
            dialogue.say("Left as it is.\n")?;
            return Ok(Exit::Done);
        }
    }
    dialogue.say(
        "Your kitchen, question by question. Enter takes the answer in [brackets].\n\
         Nothing is written before the last answer.\n\n",
    )?;
    let answers = kitchen(&mut dialogue)?;
    let text = files::kitchen_text(&answers);
    if let Err(problems) = files::read_kitchen(&path.display().to_string(), &text) {
        return Err(Stop::Faults(vec![Faulty { text, problems }]));
    }
    make_dir(&data.path)?;
    make_dir(&data.formulas())?;
    write_whole(&path, &text)?;
    let folder = data.path.display();
    dialogue.say(&format!(
        "\nWritten: {}\nIt is plain text with comments; change it whenever the kitchen changes.\n\n\
         What to do next:\n  \
         put formulas into {}\n  \
         put what you buy, with packs and prices, into {}\n  \
         jarwright demo                shows what both look like\n  \
         jarwright plan NAME --jars 48 --jar half-pint{}\n",
        path.display(),
        data.formulas().display(),
        data.stores().display(),
        if args.data.is_some() {
            format!(" --data {folder}")
        } else {
            String::new()
        }
    ))?;
    Ok(Exit::Done)
}

fn count(text: &str, most: u32) -> Checked<u32> {
    match text.parse::<u32>() {
        Ok(many) if (1..=most).contains(&many) => Ok(many),
        _ => Err(Fault::new(
            format!("\"{text}\" is no such number"),
            format!("a whole number from 1 to {most}"),
        )),
    }
}

fn clock_time(text: &str) -> Checked<()> {
    let right = text.len() == 5 && text.parse::<jiff::civil::Time>().is_ok();
    if right {
        Ok(())
    } else {
        Err(Fault::new(
            format!("\"{text}\" is no time of day"),
            "a time such as 07:00",
        ))
    }
}

fn currency(text: &str) -> Checked<String> {
    let right = text.len() == 3 && text.bytes().all(|byte| byte.is_ascii_alphabetic());
    if right {
        Ok(text.to_uppercase())
    } else {
        Err(Fault::new(
            format!("\"{text}\" is no currency code"),
            "three letters such as USD, EUR or GBP",
        ))
    }
}

fn days(text: &str) -> Checked<Vec<String>> {
    const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
    if text.eq_ignore_ascii_case("every day") {
        return Ok(Vec::new());
    }
    let mut days = Vec::new();
    for word in text.split([' ', ',']).filter(|word| !word.is_empty()) {
        let day = word.to_lowercase();
        if !DAYS.contains(&day.as_str()) {
            return Err(Fault::new(format!("\"{word}\" is no day"), DAYS.join(" ")).near(files::nearest(word, DAYS)));
        }
        if !days.contains(&day) {
            days.push(day);
        }
    }
    if days.is_empty() {
        Err(Fault::new("no day", "days such as mon tue wed, or every day"))
    } else {
        Ok(days)
    }
}

fn jar_size(text: &str) -> Checked<String> {
    jarwright_reference::jar(text)
        .map(|jar| jar.name.clone())
        .ok_or_else(|| {
            let known = || jarwright_reference::jars().iter().map(|jar| jar.name.as_str());
            let words: Vec<&str> = known().collect();
            Fault::new(format!("unknown jar \"{text}\""), words.join(", ")).near(files::nearest(text, known()))
        })
}

fn plus_minus_ph(text: &str) -> Checked<()> {
    match text.parse::<f64>() {
        Ok(width) if width > 0.0 && width <= 1.0 => Ok(()),
        _ => Err(Fault::new(
            format!("\"{text}\" is no width of a pH meter"),
            "a number such as 0.02, up to 1",
        )),
    }
}

/// The whole dialogue.
fn kitchen<I: BufRead, O: Write>(ask: &mut Dialogue<I, O>) -> Result<KitchenAnswers, Stop> {
    let name = ask.name("Name of the kitchen", "My kitchen", &[])?;
    // No default: water boils cooler higher up, and the minutes in the bath depend on it.
    let altitude = ask.kept(
        "Height above sea level; it sets the minutes in the bath",
        "120 m or 400 ft",
        None,
        quantity::altitude_m,
    )?;
    let people = ask.ask("People on a working day", "2", Some("1"), |text| count(text, 500))?;
    let currency = ask.ask("Currency", "USD, EUR, GBP", Some("USD"), currency)?;
    let labour_per_hour = ask.kept("Cost of one hour of one person", "18.00", Some("15.00"), Money::parse)?;
    let energy_per_kwh = ask.kept(
        "Cost of one kilowatt-hour for the burners",
        "0.06",
        Some("0.15"),
        Money::parse,
    )?;
    let scale_step = ask.kept("Smallest step of the scale", "5 g", Some("1 g"), quantity::mass_g)?;
    let water_supply = ask.kept(
        "Cold water from the tap",
        "15 C or 60 F",
        Some("15 C"),
        quantity::temperature_c,
    )?;
    let room = ask.kept("The room", "21 C or 70 F", Some("21 C"), quantity::temperature_c)?;
    let open = ask.kept("Work starts", "07:00", Some("08:00"), clock_time)?;
    let close = ask.ask("Work ends", "19:00", Some("17:00"), |text| {
        clock_time(text)?;
        if text > open.as_str() {
            Ok(text.to_owned())
        } else {
            Err(Fault::new("that is before work starts", "a later time"))
        }
    })?;
    let works = ask.ask("Working days", "mon tue wed thu fri", Some("every day"), days)?;
    let burners = burners(ask)?;
    let pots = pots(ask, &burners)?;
    let baths = baths(ask, &burners)?;
    let mut jars: Vec<(String, String, String)> = Vec::new();
    for (size, _) in baths.iter().flat_map(|bath| &bath.jars) {
        if jars.iter().any(|(known, _, _)| known == size) {
            continue;
        }
        let price = ask.kept(&format!("Price of one {size} jar"), "0.95", Some("1.00"), Money::parse)?;
        let lid = ask.kept("Price of one lid for it", "0.16", Some("0.20"), Money::parse)?;
        jars.push((size.clone(), price, lid));
    }
    let refrigerator = ask.kept_or_none("The refrigerator keeps", "4 C or 39 F", "4 C", quantity::temperature_c)?;
    let thermometer = ask.kept_or_none("The thermometer can be off by", "1 C or 2 F", "1 C", quantity::kelvin)?;
    let ph_meter = ask.kept_or_none("The pH meter can be off by", "0.02", "none", plus_minus_ph)?;
    let refractometer = ask.kept_or_none("The refractometer can be off by", "0.5 Bx", "none", quantity::brix)?;
    Ok(KitchenAnswers {
        name,
        altitude,
        people,
        currency,
        labour_per_hour,
        energy_per_kwh,
        scale_step,
        water_supply,
        room,
        open,
        close,
        works,
        burners,
        pots,
        baths,
        jars,
        refrigerator,
        thermometer,
        ph_meter,
        refractometer,
    })
}

fn burners<I: BufRead, O: Write>(ask: &mut Dialogue<I, O>) -> Result<Vec<BurnerAnswer>, Stop> {
    let fuels = Fuel::ALL.map(|fuel| (fuel.word(), fuel));
    let mut all: Vec<BurnerAnswer> = Vec::new();
    ask.say("\nBurners: one for the pot and one for the bath keep both going.\n")?;
    for usual in ["pot burner", "bath burner"]
        .into_iter()
        .map(str::to_owned)
        .chain((3..).map(|n| format!("burner {n}")))
    {
        let taken: Vec<String> = all.iter().map(|burner| burner.name.clone()).collect();
        let name = ask.name("Name of a burner", &usual, &taken)?;
        let fuel = ask.choice("It burns or heats with", "gas", &fuels)?;
        let power = ask.kept(
            "Its rated power",
            "2.5 kW or 9000 Btu/h",
            Some("2.5 kW"),
            quantity::power_w,
        )?;
        all.push(BurnerAnswer { name, fuel, power });
        if all.len() >= MOST_THINGS || !ask.yes("Another burner?", all.len() < 2)? {
            break;
        }
    }
    Ok(all)
}

fn pots<I: BufRead, O: Write>(ask: &mut Dialogue<I, O>, burners: &[BurnerAnswer]) -> Result<Vec<PotAnswer>, Stop> {
    let kinds = PotKind::ALL.map(|kind| (kind.word(), kind));
    let mut all: Vec<PotAnswer> = Vec::new();
    ask.say("\nPots: a curd cooks in a bowl over steam, a jam in an open pan.\n")?;
    loop {
        let taken: Vec<String> = all.iter().map(|pot| pot.name.clone()).collect();
        let usual = if all.is_empty() {
            "pot".to_owned()
        } else {
            format!("pot {}", all.len() + 1)
        };
        let name = ask.name("Name of a pot", &usual, &taken)?;
        let kind = ask.choice("It is", "open-pan", &kinds)?;
        let holds = ask.kept("It holds, brimful", "6 L or 6 US qt", Some("6 L"), quantity::volume_l)?;
        let diameter = ask.kept(
            "Its inner diameter at the top",
            "28 cm or 11 in",
            Some("28 cm"),
            quantity::length_m,
        )?;
        let burner = on_burner(ask, burners, 0)?;
        all.push(PotAnswer {
            name,
            kind,
            holds,
            diameter,
            burner,
        });
        if all.len() >= MOST_THINGS || !ask.yes("Another pot?", false)? {
            return Ok(all);
        }
    }
}

fn baths<I: BufRead, O: Write>(ask: &mut Dialogue<I, O>, burners: &[BurnerAnswer]) -> Result<Vec<BathAnswer>, Stop> {
    let mut all: Vec<BathAnswer> = Vec::new();
    ask.say("\nThe boiling-water bath.\n")?;
    loop {
        let taken: Vec<String> = all.iter().map(|bath| bath.name.clone()).collect();
        let usual = if all.is_empty() {
            "bath".to_owned()
        } else {
            format!("bath {}", all.len() + 1)
        };
        let name = ask.name("Name of the bath", &usual, &taken)?;
        let water = ask.kept(
            "Water in it with the jars in",
            "18 L or 5 US gal",
            Some("18 L"),
            quantity::volume_l,
        )?;
        let diameter = ask.kept(
            "Its inner diameter",
            "33 cm or 13 in",
            Some("33 cm"),
            quantity::length_m,
        )?;
        let burner = on_burner(ask, burners, 1)?;
        let mut jars: Vec<(String, u32)> = Vec::new();
        loop {
            let usual = if jars.is_empty() { "half-pint" } else { "pint" };
            let size = ask.ask("Size of jar you use", "half-pint, pint, 228 ml", Some(usual), jar_size)?;
            if jars.iter().any(|(known, _)| *known == size) {
                ask.say(&format!("  {size} is there already\n"))?;
            } else {
                let many = ask.ask(&format!("{size} jars in one load"), "7", Some("7"), |text| {
                    count(text, 500)
                })?;
                jars.push((size, many));
            }
            if jars.len() >= MOST_THINGS || !ask.yes("Another size of jar?", false)? {
                break;
            }
        }
        all.push(BathAnswer {
            name,
            water,
            diameter,
            burner,
            jars,
        });
        if all.len() >= MOST_THINGS || !ask.yes("Another bath?", false)? {
            return Ok(all);
        }
    }
}

/// One of the burners; with a single one there is nothing to ask.
fn on_burner<I: BufRead, O: Write>(
    ask: &mut Dialogue<I, O>,
    burners: &[BurnerAnswer],
    usual: usize,
) -> Result<String, Stop> {
    let names: Vec<(&str, usize)> = burners
        .iter()
        .enumerate()
        .map(|(at, burner)| (burner.name.as_str(), at))
        .collect();
    let at = match names.as_slice() {
        [_] => 0,
        _ => ask.choice("It stands on", names[usual.min(names.len() - 1)].0, &names)?,
    };
    Ok(burners[at].name.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answered(lines: &str) -> Result<KitchenAnswers, Stop> {
        kitchen(&mut Dialogue {
            input: lines.as_bytes(),
            output: Vec::new(),
        })
    }

    #[test]
    fn the_altitude_and_enter_for_all_else_make_a_kitchen_that_can_be_read() -> Result<(), Stop> {
        let answers = answered(&format!("\n400 ft\n{}", "\n".repeat(60)))?;
        assert_eq!(answers.altitude, "400 ft");
        assert!(files::read_kitchen("kitchen.toml", &files::kitchen_text(&answers)).is_ok());
        Ok(())
    }

    #[test]
    fn a_bad_answer_is_asked_again_with_what_is_wrong() -> Result<(), Stop> {
        let lines = format!("\nhigh\n120\n120 m\n{}", "\n".repeat(60));
        let mut dialogue = Dialogue {
            input: lines.as_bytes(),
            output: Vec::new(),
        };
        assert_eq!(kitchen(&mut dialogue)?.altitude, "120 m");
        let said = String::from_utf8_lossy(&dialogue.output).into_owned();
        assert_eq!(said.matches("Height above sea level").count(), 3, "{said}");
        Ok(())
    }

    #[test]
    fn answers_that_end_early_or_never_serve_end_the_dialogue() {
        assert!(answered("").is_err());
        assert!(answered("Kitchen\n120 m\n").is_err());
        assert!(answered(&"x\n".repeat(10_000)).is_err());
        assert!(answered(&"x".repeat(10_000)).is_err());
    }
}
