//! What a person does, step by step, with the hands of a browser.

use crate::tab::Tab;
use crate::{Any, Done};

/// An order as its form is filled in.
#[derive(Debug, Clone, Copy)]
pub struct Order<'a> {
    /// What the run is called.
    pub name: &'a str,
    /// The formula's name.
    pub formula: &'a str,
    /// Good jars wanted.
    pub jars: &'a str,
    /// Which jar.
    pub jar: &'a str,
    /// `sale` or `own-use`.
    pub purpose: &'a str,
    /// Whose law: `US`, `EU`, `UK`.
    pub market: &'a str,
    /// Where it is made, where that is not the kitchen's own height.
    pub altitude: &'a str,
}

/// The order of the demo.
pub const MARKET_DAY: Order<'static> = Order {
    name: "Market day",
    formula: "lime-curd",
    jars: "48",
    jar: "half-pint",
    purpose: "sale",
    market: "US",
    altitude: "",
};

/// The same order made where no read schedule reaches.
pub const IN_THE_HILLS: Order<'static> = Order {
    name: "In the hills",
    altitude: "1500 m",
    ..MARKET_DAY
};

/// From the empty first page into the invented kitchen.
///
/// # Errors
/// Where the pages do not lead there.
pub async fn begin(tab: &Tab) -> Done {
    expect(tab.open("/").await?, 200)?;
    expect(tab.follow("button[name=with][value=example]").await?, 200)?;
    Ok(())
}

/// Plans an order, from the first page to its answer; answers the answer's path.
///
/// # Errors
/// Where the pages do not lead there.
pub async fn plan(tab: &Tab, order: &Order<'_>) -> Done<String> {
    expect(tab.open("/").await?, 200)?;
    expect(tab.follow("a[href='/runs/new']").await?, 200)?;
    tab.fill("[name=name]", order.name).await?;
    tab.choose("[name=for]", order.purpose).await?;
    tab.choose("[name=market]", order.market).await?;
    tab.choose("[name='make.0.formula']", order.formula).await?;
    tab.fill("[name='make.0.jars']", order.jars).await?;
    tab.choose("[name='make.0.jar']", order.jar).await?;
    if !order.altitude.is_empty() {
        tab.fill("[name=altitude]", order.altitude).await?;
    }
    expect(tab.follow("button[name=do][value=keep]").await?, 200)?;
    tab.path().await
}

/// Chooses light or dark.
///
/// # Errors
/// Where the pages do not lead there.
pub async fn read_in(tab: &Tab, theme: &str) -> Done {
    expect(tab.open("/reading").await?, 200)?;
    tab.click(&format!("input[name=theme][value={theme}]")).await?;
    expect(tab.follow("main form button[type=submit]").await?, 200)?;
    let shown: String = tab.eval("document.documentElement.dataset.theme").await?;
    if shown == theme {
        Ok(())
    } else {
        Err(format!("asked for the theme {theme}, shown {shown}").into())
    }
}

/// A house with everything in it that can be made today: what a crawl should find.
///
/// # Errors
/// Where the pages do not lead there.
pub async fn furnish(tab: &Tab) -> Done {
    begin(tab).await?;
    plan(tab, &MARKET_DAY).await?;
    plan(tab, &IN_THE_HILLS).await?;
    Ok(())
}

fn expect(status: u16, wanted: u16) -> Done {
    if status == wanted {
        Ok(())
    } else {
        Err(Any::from(format!("answered {status} instead of {wanted}")))
    }
}
