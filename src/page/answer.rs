//! What is sent back, and the headers that go with everything.

use maud::Markup;

/// A response.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Answer {
    /// The status.
    pub(super) status: u16,
    /// The content type.
    pub(super) kind: &'static str,
    /// The content.
    pub(super) body: Vec<u8>,
    /// Where to go instead.
    pub(super) to: Option<String>,
    /// What the content may do.
    policy: Policy,
}

/// What a content may do in the browser.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Policy {
    /// A page of this room: style, script and pictures from here.
    Page,
    /// A report or a paper, which brings its style inside.
    Sheet,
}

impl Answer {
    /// A page.
    pub(super) fn page(page: Markup) -> Self {
        Self::html(200, page.into_string(), Policy::Page)
    }

    /// A page that says what is wrong.
    pub(super) fn refusal(status: u16, page: Markup) -> Self {
        Self::html(status, page.into_string(), Policy::Page)
    }

    /// A report or a paper.
    pub(super) fn sheet(html: String) -> Self {
        Self::html(200, html, Policy::Sheet)
    }

    fn html(status: u16, html: String, policy: Policy) -> Self {
        Self { status, kind: "text/html; charset=utf-8", body: html.into_bytes(), to: None, policy }
    }

    /// A file.
    pub(super) fn file(kind: &'static str, body: Vec<u8>) -> Self {
        Self { status: 200, kind, body, to: None, policy: Policy::Sheet }
    }

    /// Go there, after something was changed.
    pub(super) fn go(to: impl Into<String>) -> Self {
        Self {
            status: 303,
            kind: "text/plain; charset=utf-8",
            body: Vec::new(),
            to: Some(to.into()),
            policy: Policy::Page,
        }
    }

    /// The headers beside content type and length.
    #[cfg(not(target_family = "wasm"))]
    pub(super) fn headers(&self) -> Vec<(&'static str, String)> {
        // A page may use the microphone of this computer; nothing may be fetched from or sent to anywhere else.
        let policy = match self.policy {
            Policy::Page => {
                "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self'; \
                 form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
            }
            Policy::Sheet => {
                "default-src 'none'; style-src 'unsafe-inline'; img-src 'self' data:; form-action 'none'; base-uri 'none'; \
                 frame-ancestors 'none'"
            }
        };
        let mut headers = vec![
            ("Content-Security-Policy", policy.to_owned()),
            ("X-Content-Type-Options", "nosniff".to_owned()),
            // Not `no-referrer`: a browser would then send forms with the origin `null`, and the door refuses that.
            ("Referrer-Policy", "same-origin".to_owned()),
            ("Cross-Origin-Resource-Policy", "same-origin".to_owned()),
            ("Cross-Origin-Opener-Policy", "same-origin".to_owned()),
            ("Permissions-Policy", "microphone=(self), camera=(), geolocation=()".to_owned()),
            ("Cache-Control", "no-store".to_owned()),
        ];
        if let Some(to) = &self.to {
            headers.push(("Location", to.clone()));
        }
        headers
    }
}
