//! A headless Chromium, with a fresh profile each time.

use chromiumoxide::browser::{Browser, BrowserConfig};
use chromiumoxide::cdp::browser_protocol::target::{CreateBrowserContextParams, CreateTargetParams};
use tempfile::TempDir;
use tokio::task::JoinHandle;
use tokio_stream::StreamExt;

use crate::tab::Tab;
use crate::{Any, Done};

/// A browser.
#[derive(Debug)]
pub struct Chrome {
    browser: Browser,
    talk: JoinHandle<()>,
    _profile: TempDir,
}

/// Width and height of a window [CSS px].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    /// Width.
    pub width: u32,
    /// Height.
    pub height: u32,
}

impl Size {
    /// A table computer or a small laptop.
    pub const WIDE: Self = Self {
        width: 1280,
        height: 800,
    };
    /// A tablet held upright.
    pub const TABLET: Self = Self {
        width: 820,
        height: 1180,
    };
    /// A telephone.
    pub const NARROW: Self = Self {
        width: 390,
        height: 844,
    };

    /// Whether it is held in a hand.
    #[must_use]
    pub const fn in_hand(self) -> bool {
        self.width < 600
    }
}

impl Chrome {
    /// Starts the browser.
    ///
    /// # Errors
    /// Where there is none, or it does not answer.
    pub async fn open() -> Done<Self> {
        let profile = tempfile::tempdir()?;
        // The pages shown are our own; a build's user often has no namespaces to make a sandbox of.
        let config = BrowserConfig::builder()
            .no_sandbox()
            .user_data_dir(profile.path())
            .viewport(None)
            .launch_timeout(std::time::Duration::from_secs(60))
            .args([
                "--disable-dev-shm-usage",
                "--disable-gpu",
                "--hide-scrollbars",
                "--font-render-hinting=none",
            ])
            .build()
            .map_err(|fault| Any::from(format!("no browser: {fault} (Debian's package is called chromium)")))?;
        let (browser, mut handler) = Browser::launch(config).await?;
        let talk = tokio::spawn(async move {
            // A message the driver does not know is none of ours.
            while handler.next().await.is_some() {}
        });
        Ok(Self {
            browser,
            talk,
            _profile: profile,
        })
    }

    /// A person of their own, with no cookie of anybody else's, in front of a served house.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn person(&self, house: &str, size: Size) -> Done<Tab> {
        let context = self
            .browser
            .create_browser_context(CreateBrowserContextParams::default())
            .await?;
        let mut wanted = CreateTargetParams::new("about:blank");
        wanted.browser_context_id = Some(context);
        let page = self.browser.new_page(wanted).await?;
        Tab::of(page, house, size).await
    }

    /// Ends the browser.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn close(mut self) -> Done {
        self.browser.close().await?;
        self.browser.wait().await?;
        self.talk.abort();
        Ok(())
    }
}
