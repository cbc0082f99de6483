//! One tab: go, look, click, type, press; and hear what the browser complains of.
//!
//! Hands are real: mouse and key events as a person makes them. What a page shows is read by asking
//! the document.

use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use chromiumoxide::Page;
use chromiumoxide::cdp::browser_protocol::emulation::{
    SetDeviceMetricsOverrideParams, SetScriptExecutionDisabledParams,
};
use chromiumoxide::cdp::browser_protocol::input::{
    DispatchKeyEventParams, DispatchKeyEventType, DispatchMouseEventParams, DispatchMouseEventType, InsertTextParams,
    MouseButton,
};
use chromiumoxide::cdp::browser_protocol::log::{EventEntryAdded, LogEntryLevel};
use chromiumoxide::cdp::browser_protocol::page::{CaptureScreenshotFormat, NavigateParams, PrintToPdfParams};
use chromiumoxide::cdp::js_protocol::runtime::{
    ConsoleApiCalledType, EvaluateParams, EventConsoleApiCalled, EventExceptionThrown,
};
use chromiumoxide::page::ScreenshotParams;
use serde::de::DeserializeOwned;
use tokio::time::timeout;
use tokio_stream::StreamExt;

use crate::chrome::Size;
use crate::print::Paper;
use crate::{Any, Done};

/// Longest wait for something a page is to become.
const PATIENCE: Duration = Duration::from_secs(20);
/// Between two looks.
const LOOK_EVERY: Duration = Duration::from_millis(15);

/// Tells the console of what the policy kept out, beside the browser's own word.
const TELL_POLICY: &str = "addEventListener('securitypolicyviolation', (e) => \
    console.error(`policy ${e.violatedDirective} kept out ${e.blockedURI} ${e.sample}`))";

/// A tab.
#[derive(Debug)]
pub struct Tab {
    page: Page,
    house: String,
    complaints: Arc<Mutex<Vec<String>>>,
}

/// A key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Key {
    /// On to the next control.
    Tab,
    /// Do it.
    Enter,
}

impl Tab {
    pub(crate) async fn of(page: Page, house: &str, size: Size) -> Done<Self> {
        let tab = Self {
            page,
            house: house.to_owned(),
            complaints: Arc::default(),
        };
        tab.listen().await?;
        tab.page.evaluate_on_new_document(TELL_POLICY).await?;
        tab.resize(size).await?;
        Ok(tab)
    }

    async fn listen(&self) -> Done {
        self.page.enable_log().await?;
        self.page.enable_runtime().await?;
        let mut entries = self.page.event_listener::<EventEntryAdded>().await?;
        let mut calls = self.page.event_listener::<EventConsoleApiCalled>().await?;
        let mut thrown = self.page.event_listener::<EventExceptionThrown>().await?;
        let (a, b, c) = (self.heard(), self.heard(), self.heard());
        tokio::spawn(async move {
            while let Some(event) = entries.next().await {
                if matches!(event.entry.level, LogEntryLevel::Error | LogEntryLevel::Warning) {
                    let at = event.entry.url.as_deref().unwrap_or_default();
                    a(format!("{} ({at})", event.entry.text));
                }
            }
        });
        tokio::spawn(async move {
            while let Some(event) = calls.next().await {
                if matches!(event.r#type, ConsoleApiCalledType::Error | ConsoleApiCalledType::Assert) {
                    let said: Vec<String> = event
                        .args
                        .iter()
                        .filter_map(|arg| arg.value.as_ref())
                        .map(|value| value.as_str().map_or_else(|| value.to_string(), str::to_owned))
                        .collect();
                    b(said.join(" "));
                }
            }
        });
        tokio::spawn(async move {
            while let Some(event) = thrown.next().await {
                c(format!("thrown: {:?}", event.exception_details.exception));
            }
        });
        Ok(())
    }

    fn heard(&self) -> impl Fn(String) + Send + 'static {
        let complaints = Arc::clone(&self.complaints);
        move |text| complaints.lock().unwrap_or_else(PoisonError::into_inner).push(text)
    }

    /// What the browser complained of since it was asked last: errors, exceptions, what its policy
    /// kept out.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn complaints(&self) -> Done<Vec<String>> {
        // Said last, so heard last: everything before it has arrived when it has.
        const LAST: &str = "heard everything";
        self.eval::<bool>(&format!("console.error('{LAST}'), true")).await?;
        let begun = Instant::now();
        loop {
            {
                let mut heard = self.complaints.lock().unwrap_or_else(PoisonError::into_inner);
                if heard.iter().any(|line| line == LAST) {
                    return Ok(heard.drain(..).filter(|line| line != LAST).collect());
                }
            }
            if begun.elapsed() > PATIENCE {
                return Err("the browser's console is silent".into());
            }
            tokio::time::sleep(LOOK_EVERY).await;
        }
    }

    /// Makes the window of another size.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn resize(&self, size: Size) -> Done {
        let metrics =
            SetDeviceMetricsOverrideParams::new(i64::from(size.width), i64::from(size.height), 1.0, size.in_hand());
        self.page.execute(metrics).await?;
        Ok(())
    }

    /// Takes scripts away, or gives them back.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn scripts(&self, run: bool) -> Done {
        self.page.execute(SetScriptExecutionDisabledParams::new(!run)).await?;
        Ok(())
    }

    /// Opens a page of the house, and answers the status it came with.
    ///
    /// # Errors
    /// Where nothing answers, or what does is a file to save.
    pub async fn open(&self, path: &str) -> Done<u16> {
        let before = self.moment().await?;
        let wanted = NavigateParams::new(format!("{}{path}", self.house));
        let answer = timeout(PATIENCE, self.page.execute(wanted)).await;
        let answer = answer.map_err(|_| Any::from(format!("{path} does not answer, or is no page")))?;
        if let Some(fault) = answer?.result.error_text {
            return Err(format!("{path}: {fault}").into());
        }
        self.arrived(before)
            .await
            .map_err(|fault| Any::from(format!("to {path}: {fault}")))
    }

    /// Address of the house it stands before.
    #[must_use]
    pub fn house(&self) -> &str {
        &self.house
    }

    /// The status of the page that stands.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn status(&self) -> Done<u16> {
        self.eval("performance.getEntriesByType('navigation')[0].responseStatus")
            .await
    }

    /// The path of the page that stands.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn path(&self) -> Done<String> {
        self.eval("location.pathname").await
    }

    /// What an expression comes to; promises are waited for.
    ///
    /// # Errors
    /// What the page threw, or what cannot be read as `T`.
    pub async fn eval<T: DeserializeOwned>(&self, expression: &str) -> Done<T> {
        let asked = EvaluateParams::builder()
            .expression(expression)
            .await_promise(true)
            .return_by_value(true)
            .build()
            .map_err(Any::from)?;
        let answer = timeout(PATIENCE, self.page.evaluate_expression(asked)).await;
        let answer = answer.map_err(|_| Any::from(format!("the page does not answer: {}", head(expression))))?;
        Ok(answer?.into_value()?)
    }

    /// The words a person sees under a selector.
    ///
    /// # Errors
    /// Where nothing is there.
    pub async fn text(&self, selector: &str) -> Done<String> {
        self.eval::<Option<String>>(&format!("document.querySelector({})?.innerText", quoted(selector)))
            .await
            .map_err(|fault| Any::from(format!("{selector}: {fault}")))?
            .ok_or_else(|| format!("nothing at {selector} on {}", self.house).into())
    }

    /// Whether something is there.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn has(&self, selector: &str) -> Done<bool> {
        self.eval(&format!("!!document.querySelector({})", quoted(selector)))
            .await
    }

    /// Waits until an expression holds.
    ///
    /// # Errors
    /// Where it does not within the patience of a test.
    pub async fn until(&self, expression: &str) -> Done {
        let begun = Instant::now();
        loop {
            // A page on its way out has nobody to ask; the next one has.
            if self.eval::<bool>(expression).await.unwrap_or(false) {
                return Ok(());
            }
            if begun.elapsed() > PATIENCE {
                let path = self.path().await.unwrap_or_default();
                return Err(format!("on {path}, never: {expression}").into());
            }
            tokio::time::sleep(LOOK_EVERY).await;
        }
    }

    /// Clicks.
    ///
    /// # Errors
    /// Where nothing is there, or it cannot be reached by the mouse.
    pub async fn click(&self, selector: &str) -> Done {
        let place: Option<(f64, f64)> = self
            .eval(&format!(
                "(() => {{ const e = document.querySelector({}); if (!e) return null; \
                 e.scrollIntoView({{ block: 'center', behavior: 'instant' }}); \
                 const box = e.getClientRects()[0]; if (!box) return null; \
                 const at = [box.x + box.width / 2, box.y + box.height / 2]; \
                 const met = document.elementFromPoint(...at); \
                 return met && (e.contains(met) || met.contains(e)) ? at : null; }})()",
                quoted(selector)
            ))
            .await?;
        let Some((x, y)) = place else {
            return Err(format!("{selector} cannot be clicked on {}", self.path().await?).into());
        };
        for kind in [
            DispatchMouseEventType::MousePressed,
            DispatchMouseEventType::MouseReleased,
        ] {
            let mut event = DispatchMouseEventParams::new(kind, x, y);
            event.button = Some(MouseButton::Left);
            event.click_count = Some(1);
            self.page.execute(event).await?;
        }
        Ok(())
    }

    /// Clicks what leads to another page, and waits for it.
    ///
    /// # Errors
    /// As [`Self::click`], or where no page comes.
    pub async fn follow(&self, selector: &str) -> Done<u16> {
        let before = self.moment().await?;
        self.click(selector).await?;
        self.arrived(before).await
    }

    /// Presses Enter on what leads to another page, and waits for it.
    ///
    /// # Errors
    /// Where no page comes.
    pub async fn enter(&self) -> Done<u16> {
        let before = self.moment().await?;
        self.press(Key::Enter).await?;
        self.arrived(before).await
    }

    /// When the page that stands began.
    async fn moment(&self) -> Done<f64> {
        self.eval("performance.timeOrigin").await
    }

    async fn arrived(&self, before: f64) -> Done<u16> {
        self.until(&format!(
            "performance.timeOrigin !== {before} && document.readyState === 'complete'"
        ))
        .await?;
        self.status().await
    }

    /// Types into a field, in place of what stands there.
    ///
    /// # Errors
    /// Where there is no such field.
    pub async fn fill(&self, selector: &str, text: &str) -> Done {
        let there: bool = self
            .eval(&format!(
                "(() => {{ const f = document.querySelector({}); if (!f) return false; \
                 const d = f.closest('details'); if (d) d.open = true; f.focus(); f.select(); return true; }})()",
                quoted(selector)
            ))
            .await?;
        if !there {
            return Err(format!("no field {selector}").into());
        }
        if text.is_empty() {
            self.eval::<bool>("document.execCommand('delete')").await?;
        } else {
            self.page.execute(InsertTextParams::new(text)).await?;
        }
        Ok(())
    }

    /// Chooses one of a list by its word.
    ///
    /// # Errors
    /// Where the list has no such choice.
    pub async fn choose(&self, selector: &str, word: &str) -> Done {
        let chosen: bool = self
            .eval(&format!(
                "(() => {{ const f = document.querySelector({}); if (!f) return false; f.value = {}; \
                 f.dispatchEvent(new Event('input', {{ bubbles: true }})); \
                 f.dispatchEvent(new Event('change', {{ bubbles: true }})); return f.value === {}; }})()",
                quoted(selector),
                quoted(word),
                quoted(word)
            ))
            .await?;
        if chosen {
            Ok(())
        } else {
            Err(format!("{selector} has no choice {word}").into())
        }
    }

    /// What a field holds.
    ///
    /// # Errors
    /// Where there is no such field.
    pub async fn value(&self, selector: &str) -> Done<String> {
        self.eval::<Option<String>>(&format!("document.querySelector({})?.value", quoted(selector)))
            .await?
            .ok_or_else(|| format!("no field {selector}").into())
    }

    /// Presses a key.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn press(&self, key: Key) -> Done {
        let (name, code, number, text) = match key {
            Key::Tab => ("Tab", "Tab", 9, None),
            Key::Enter => ("Enter", "Enter", 13, Some("\r")),
        };
        for kind in [DispatchKeyEventType::KeyDown, DispatchKeyEventType::KeyUp] {
            let mut event = DispatchKeyEventParams::new(kind.clone());
            event.key = Some(name.into());
            event.code = Some(code.into());
            event.windows_virtual_key_code = Some(number);
            if kind == DispatchKeyEventType::KeyDown {
                event.text = text.map(str::to_owned);
            }
            self.page.execute(event).await?;
        }
        Ok(())
    }

    /// Presses Tab until the control in focus matches a selector; answers how often.
    ///
    /// # Errors
    /// Where no such control is reached within `most` presses.
    pub async fn tab_to(&self, selector: &str, most: usize) -> Done<usize> {
        let there = format!("!!document.activeElement?.matches({})", quoted(selector));
        for pressed in 1..=most {
            self.press(Key::Tab).await?;
            if self.eval::<bool>(&there).await? {
                return Ok(pressed);
            }
        }
        Err(format!(
            "{selector} is not reached by {most} presses of Tab on {}",
            self.path().await?
        )
        .into())
    }

    /// A picture of the whole page, as PNG.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn picture(&self) -> Done<Vec<u8>> {
        let params = ScreenshotParams::builder()
            .format(CaptureScreenshotFormat::Png)
            .full_page(true)
            .build();
        Ok(self.page.screenshot(params).await?)
    }

    /// The page as it prints, as PDF.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn printed(&self, paper: Paper) -> Done<Vec<u8>> {
        let (width, height) = paper.inches();
        let params = PrintToPdfParams::builder()
            .paper_width(width)
            .paper_height(height)
            .print_background(false)
            .build();
        Ok(self.page.pdf(params).await?)
    }

    /// The words that paper would show, as the browser lays it out for print.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn words_on_paper(&self) -> Done<Vec<String>> {
        self.page
            .emulate_media_type(chromiumoxide::page::MediaTypeParams::Print)
            .await?;
        let text: String = self.eval("document.body.innerText").await?;
        self.page
            .emulate_media_type(chromiumoxide::page::MediaTypeParams::Null)
            .await?;
        Ok(text.split_whitespace().map(str::to_owned).collect())
    }
}

/// The beginning of a long text.
fn head(text: &str) -> String {
    text.chars().take(120).collect()
}

/// A text as a JavaScript literal.
#[must_use]
pub fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}
