//! Links from pages to files.

use std::path::Path;

use maud::{Markup, html};

use super::item::Item;

/// The way from a folder to a file, as an address. Nothing that is no file has one.
pub(super) fn relative(folder: &Path, to: &Path) -> Option<String> {
    let to = std::fs::canonicalize(to).ok()?;
    let folder = std::fs::canonicalize(folder).ok()?;
    let shared = (folder.components().zip(to.components()))
        .take_while(|(one, other)| one == other)
        .count();
    let up = folder.components().skip(shared).map(|_| "..".to_owned());
    let down =
        (to.components().skip(shared)).map(|part| address(&part.as_os_str().to_string_lossy()));
    let parts: Vec<String> = up.chain(down).collect();
    Some(parts.join("/"))
}

/// A part of a path as it is written in an address (RFC 3986, 2.3).
pub(super) fn address(part: &str) -> String {
    let mut address = String::new();
    for &byte in part.as_bytes() {
        if byte.is_ascii_alphanumeric() || b"-_.~".contains(&byte) {
            address.push(char::from(byte));
        } else {
            address.push_str(&format!("%{byte:02X}"));
        }
    }
    address
}

/// Where an item stands, as text and as a link to the file.
pub(super) fn place(item: &Item, file: &str, link: Option<&str>) -> Markup {
    let told = format!("{file}:{}", item.place.line);
    html! {
        @match link {
            Some(link) => a.place href=(link) { (told) },
            None => span.place { (told) },
        }
    }
}
