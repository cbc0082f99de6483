//! A power cut right after "kept": what was kept is there.

use jarwright_browser::Done;
use jarwright_browser::caller::{Caller, field};
use jarwright_browser::served::Served;

/// How often the lights go out.
const CUTS: u32 = 50;

#[tokio::test(flavor = "multi_thread")]
async fn what_was_acknowledged_is_there_after_fifty_power_cuts() -> Done {
    const FORMULA: &str = "/formulas/lime-curd";
    let data = tempfile::tempdir()?;
    let mut house = Served::open(data.path())?;
    let caller = Caller::of(house.address()).await?;
    assert_eq!(caller.post("/begin", &[("with", "example")]).await?.status, 303);
    for cut in 1..=CUTS {
        let caller = Caller::of(house.address()).await?;
        let page = caller.get(FORMULA).await?;
        let made_from = field(&page.text, "made-from").ok_or("the formula has no version")?;
        let name = format!("Lime curd after cut {cut}");
        let kept = caller
            .post(FORMULA, &[("made-from", &made_from), ("name", &name), ("do", "keep")])
            .await?;
        assert_eq!(kept.status, 303, "{}", kept.text);
        house.kill()?;
        house = Served::open(data.path())?;
        let again = Caller::of(house.address()).await?.get(FORMULA).await?;
        assert_eq!(again.status, 200);
        assert_eq!(field(&again.text, "name").as_deref(), Some(name.as_str()));
        let number: u64 = made_from.parse()?;
        assert_eq!(field(&again.text, "made-from"), Some((number + 1).to_string()));
    }
    Ok(())
}
