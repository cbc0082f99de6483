//! A stream whose other end must take what is written: one that stops reading is not waited for.

use std::io;
use std::pin::Pin;
use std::task::{Context, Poll};
use std::time::Duration;

use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::time::{Sleep, sleep};

/// A stream that is written to with bounded patience; reading has bounds of its own.
pub(crate) struct Patient<S> {
    stream: S,
    patience: Duration,
    waiting: Option<Pin<Box<Sleep>>>,
}

impl<S> Patient<S> {
    /// * `patience`: longest time in which nothing at all is taken
    pub(crate) fn new(stream: S, patience: Duration) -> Self {
        Self {
            stream,
            patience,
            waiting: None,
        }
    }
}

impl<S: Unpin> Patient<S> {
    fn wait<T>(
        &mut self,
        cx: &mut Context<'_>,
        write: impl FnOnce(Pin<&mut S>, &mut Context<'_>) -> Poll<io::Result<T>>,
    ) -> Poll<io::Result<T>> {
        let written = write(Pin::new(&mut self.stream), cx);
        if written.is_ready() {
            self.waiting = None;
            return written;
        }
        let patience = self.patience;
        let waiting = self.waiting.get_or_insert_with(|| Box::pin(sleep(patience)));
        waiting.as_mut().poll(cx).map(|()| Err(io::ErrorKind::TimedOut.into()))
    }
}

impl<S: AsyncRead + Unpin> AsyncRead for Patient<S> {
    fn poll_read(mut self: Pin<&mut Self>, cx: &mut Context<'_>, into: &mut ReadBuf<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_read(cx, into)
    }
}

impl<S: AsyncWrite + Unpin> AsyncWrite for Patient<S> {
    fn poll_write(mut self: Pin<&mut Self>, cx: &mut Context<'_>, from: &[u8]) -> Poll<io::Result<usize>> {
        self.wait(cx, |stream, cx| stream.poll_write(cx, from))
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        self.wait(cx, AsyncWrite::poll_flush)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        self.wait(cx, AsyncWrite::poll_shutdown)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        from: &[io::IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        self.wait(cx, |stream, cx| stream.poll_write_vectored(cx, from))
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Takes so many bytes, then none.
    struct Takes(usize);

    impl AsyncWrite for Takes {
        fn poll_write(mut self: Pin<&mut Self>, _: &mut Context<'_>, from: &[u8]) -> Poll<io::Result<usize>> {
            if self.0 == 0 {
                return Poll::Pending;
            }
            let taken = self.0.min(from.len());
            self.0 -= taken;
            Poll::Ready(Ok(taken))
        }

        fn poll_flush(self: Pin<&mut Self>, _: &mut Context<'_>) -> Poll<io::Result<()>> {
            Poll::Ready(Ok(()))
        }

        fn poll_shutdown(self: Pin<&mut Self>, _: &mut Context<'_>) -> Poll<io::Result<()>> {
            Poll::Pending
        }
    }

    #[tokio::test]
    async fn whoever_takes_nothing_more_is_not_waited_for() {
        let mut stream = Patient::new(Takes(3), Duration::from_millis(1));
        let mut write =
            async |bytes: &[u8]| std::future::poll_fn(|cx| Pin::new(&mut stream).poll_write(cx, bytes)).await;
        assert_eq!(write(b"ab").await.ok(), Some(2));
        assert_eq!(write(b"cd").await.ok(), Some(1));
        assert_eq!(
            write(b"d").await.map_err(|error| error.kind()),
            Err(io::ErrorKind::TimedOut)
        );
        let ended = std::future::poll_fn(|cx| Pin::new(&mut stream).poll_shutdown(cx)).await;
        assert_eq!(ended.map_err(|error| error.kind()), Err(io::ErrorKind::TimedOut));
    }
}
