//! Who is let in: this machine, this port, the pages that this run has served.

use axum::http::{HeaderMap, header};

/// The header that carries the token.
pub const TOKEN: &str = "x-scantling-token";

/// What a request has to carry.
pub struct Guard {
    token: String,
    hosts: [String; 2],
}

impl Guard {
    /// For a port, with a new token: 128 bits from the operating system, in hexadecimal.
    ///
    /// # Errors
    /// If the system has no random numbers.
    pub fn new(port: u16) -> std::io::Result<Guard> {
        let mut bytes = [0_u8; 16];
        getrandom::fill(&mut bytes).map_err(|error| std::io::Error::other(error.to_string()))?;
        let token = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
        Ok(Guard { token, hosts: [format!("127.0.0.1:{port}"), format!("localhost:{port}")] })
    }

    /// The token, which is part of the address that is printed, behind the `#`: it is never sent by following a link.
    pub fn token(&self) -> &str {
        &self.token
    }

    /// Whether it is asked under its own name, by nobody else's page: a name that another site points to this address is
    /// not ours, and a page of another site says where it comes from.
    pub fn is_own(&self, headers: &HeaderMap) -> bool {
        let text = |name| headers.get(name).map(|value| value.to_str().unwrap_or_default());
        let host = text(header::HOST).is_some_and(|host| self.hosts.iter().any(|own| own == host));
        let origin = text(header::ORIGIN).is_none_or(|origin| {
            self.hosts.iter().any(|own| origin.strip_prefix("http://").is_some_and(|origin| origin == own))
        });
        host && origin
    }

    /// Whether it carries the token; compared to the end, so that the time tells nothing.
    pub fn knows_the_token(&self, headers: &HeaderMap) -> bool {
        let given = headers.get(TOKEN).map(|value| value.as_bytes()).unwrap_or_default();
        let differ = given.iter().zip(self.token.as_bytes()).fold(0, |differ, (a, b)| differ | (a ^ b));
        given.len() == self.token.len() && differ == 0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderValue;

    fn headers(pairs: &[(&'static str, &str)]) -> HeaderMap {
        let pair = |(name, value): &(&'static str, &str)| {
            (axum::http::HeaderName::from_static(name), HeaderValue::from_str(value).expect("a header"))
        };
        pairs.iter().map(pair).collect()
    }

    #[test]
    fn only_its_own_pages_under_its_own_name() {
        let guard = Guard::new(4711).expect("random numbers");
        assert!(guard.is_own(&headers(&[("host", "127.0.0.1:4711")])));
        assert!(guard.is_own(&headers(&[("host", "localhost:4711"), ("origin", "http://localhost:4711")])));
        for strange in [
            &[("host", "127.0.0.1")][..],
            &[("host", "example.org:4711")],
            &[("host", "127.0.0.1:4711"), ("origin", "http://example.org")],
            &[("host", "127.0.0.1:4711"), ("origin", "https://127.0.0.1:4711")],
            &[("host", "127.0.0.1:4711"), ("origin", "null")],
            &[],
        ] {
            assert!(!guard.is_own(&headers(strange)), "{strange:?}");
        }
    }

    #[test]
    fn the_token_is_long_and_another_each_time() {
        let [one, two] = [(); 2].map(|()| Guard::new(1).expect("random numbers"));
        assert_eq!(one.token().len(), 32);
        assert_ne!(one.token(), two.token());
        assert!(one.knows_the_token(&headers(&[(TOKEN, one.token())])));
        assert!(!one.knows_the_token(&headers(&[(TOKEN, two.token())])));
        assert!(!one.knows_the_token(&headers(&[(TOKEN, "")])));
        assert!(!one.knows_the_token(&headers(&[])));
    }
}
