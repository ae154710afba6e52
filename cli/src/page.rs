//! `barwright page`: the page, served to this machine alone.

use std::io::{self, BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::thread;
use std::time::Duration;

use serde_json::json;

use crate::args::Page;
use crate::{Failure, Outcome};

/// The files of the page by name; empty where it was not built with the program.
static FILES: &[(&str, &[u8])] = include!(concat!(env!("OUT_DIR"), "/page.rs"));

/// The longest head of a request that is read, in bytes.
const LONGEST: u64 = 16 * 1024;

/// How long a visitor may dawdle.
const PATIENCE: Duration = Duration::from_secs(10);

/// What the page may do; the same stands in the page itself, for other servers.
const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self'; \
     font-src 'self'; connect-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; \
     frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types barwright barwright-worker";

/// What the example shop may do beside it: send its form to itself.
const SHOP_POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self'; \
     font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; \
     require-trusted-types-for 'script'; trusted-types barwright-part";

/// The example shop stands in this folder.
const SHOP: &str = "shop/";

/// Serves the page until it is stopped.
pub(crate) fn run(arguments: &Page) -> Outcome {
    if FILES.is_empty() {
        return Err(Failure::Refused(
            "refused  This program was built without the page.\n  try    web/build, then cargo build again; or give web/dist to any \
             file server."
                .to_owned(),
        ));
    }
    let cannot = |error: io::Error| Failure::Machine(format!("Cannot serve on port {}: {error}.", arguments.port));
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, arguments.port)).map_err(cannot)?;
    let address = listener.local_addr().map_err(cannot)?;
    let page = format!("http://{address}/");
    let shop = FILES.iter().any(|(name, _)| name.starts_with(SHOP)).then(|| format!("{page}{SHOP}"));
    let said = if arguments.form.json {
        json!({ "page": page, "shop": shop }).to_string() + "\n"
    } else {
        let shop = shop.map_or_else(String::new, |shop| format!("A shop that takes orders by it is at {shop}\n"));
        format!("The page is at {page}\n{shop}End it with Ctrl-C.\n")
    };
    anstream::stdout()
        .write_all(said.as_bytes())
        .and_then(|()| anstream::stdout().flush())
        .map_err(|error| Failure::Machine(format!("Cannot say where the page is: {error}.")))?;
    for visitor in listener.incoming().filter_map(Result::ok) {
        // A visitor that fails, fails alone.
        thread::spawn(move || answer(&visitor));
    }
    Ok(String::new())
}

/// Answers the requests of one visitor until it leaves.
fn answer(visitor: &TcpStream) -> io::Result<()> {
    visitor.set_read_timeout(Some(PATIENCE))?;
    visitor.set_write_timeout(Some(PATIENCE))?;
    visitor.set_nodelay(true)?;
    let mut reader = BufReader::new(visitor);
    loop {
        let mut head = String::new();
        let mut lines = reader.by_ref().take(LONGEST);
        loop {
            let read = lines.read_line(&mut head)?;
            if read == 0 {
                return Ok(());
            }
            if head.ends_with("\r\n\r\n") || head.ends_with("\n\n") {
                break;
            }
        }
        let reply = reply(&head);
        (&*visitor).write_all(&reply.head())?;
        if !head.starts_with("HEAD ") {
            (&*visitor).write_all(reply.body)?;
        }
    }
}

/// One answer.
struct Reply {
    status: &'static str,
    kind: &'static str,
    policy: &'static str,
    /// Where it stands instead.
    moved: Option<&'static str>,
    body: &'static [u8],
}

impl Reply {
    fn head(&self) -> Vec<u8> {
        let moved = self.moved.map_or_else(String::new, |place| format!("Location: {place}\r\n"));
        format!(
            "HTTP/1.1 {}\r\n{moved}Content-Type: {}\r\nContent-Length: {}\r\nCache-Control: no-cache\r\n\
             Content-Security-Policy: {}\r\nX-Content-Type-Options: nosniff\r\nReferrer-Policy: no-referrer\r\n\r\n",
            self.status,
            self.kind,
            self.body.len(),
            self.policy
        )
        .into_bytes()
    }
}

fn reply(head: &str) -> Reply {
    let plain = |status, body: &'static str| {
        let kind = "text/plain; charset=utf-8";
        Reply { status, kind, policy: POLICY, moved: None, body: body.as_bytes() }
    };
    let mut words = head.lines().next().unwrap_or("").split(' ');
    let (Some(method), Some(target), Some(_)) = (words.next(), words.next(), words.next()) else {
        return plain("400 Bad Request", "This is no request.\n");
    };
    if method != "GET" && method != "HEAD" {
        return plain("405 Method Not Allowed", "Files are only read here.\n");
    }
    if !to_this_machine(head) {
        // Another site's name that points here: its scripts have no business with this page.
        return plain("421 Misdirected Request", "This page answers to its own address only.\n");
    }
    let path = target.split(['?', '#']).next().unwrap_or("");
    let name = match path.strip_prefix('/') {
        Some("") => "index.html",
        Some("shop") => {
            // Its files are named from within the folder.
            return Reply { moved: Some("/shop/"), ..plain("308 Permanent Redirect", "The shop is at /shop/.\n") };
        }
        Some(SHOP) => "shop/index.html",
        Some(name) => name,
        None => return plain("400 Bad Request", "This is no path.\n"),
    };
    match FILES.iter().find(|(known, _)| *known == name) {
        Some((_, body)) => {
            let policy = if name.starts_with(SHOP) { SHOP_POLICY } else { POLICY };
            Reply { status: "200 OK", kind: kind(name), policy, moved: None, body }
        }
        None => plain("404 Not Found", "There is no such file.\n"),
    }
}

/// Whether a request names this machine as its host.
fn to_this_machine(head: &str) -> bool {
    let host = head.lines().find_map(|line| {
        let (name, value) = line.split_once(':')?;
        name.eq_ignore_ascii_case("host").then(|| value.trim())
    });
    let name = host.unwrap_or("").rsplit_once(':').map_or(host.unwrap_or(""), |(name, _)| name);
    matches!(name, "127.0.0.1" | "localhost")
}

/// The media type of a file.
fn kind(name: &str) -> &'static str {
    match name.rsplit_once('.').map_or("", |(_, ending)| ending) {
        "html" => "text/html; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "json" => "application/json",
        "svg" => "image/svg+xml",
        "wasm" => "application/wasm",
        "woff2" => "font/woff2",
        _ => "text/plain; charset=utf-8",
    }
}

#[cfg(test)]
mod tests {
    use super::reply;

    #[test]
    fn only_its_own_files_to_its_own_name() {
        let status = |head: &str| reply(head).status.split(' ').next().map(str::to_owned);
        let code = |text: &str| Some(text.to_owned());
        assert_eq!(status("GET /../Cargo.toml HTTP/1.1\r\nHost: localhost:80\r\n\r\n"), code("404"), "no way out");
        assert_eq!(status("POST / HTTP/1.1\r\nHost: localhost\r\n\r\n"), code("405"), "nothing is written");
        assert_eq!(status("GET / HTTP/1.1\r\nHost: shop.example\r\n\r\n"), code("421"), "another's name");
        assert_eq!(status("GET / HTTP/1.1\r\n\r\n"), code("421"), "no name");
        assert_eq!(status("GET /shop HTTP/1.1\r\nHost: localhost\r\n\r\n"), code("308"), "to the folder");
        assert_eq!(status("nonsense\r\n\r\n"), code("400"), "no request");
    }
}
