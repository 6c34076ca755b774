//! Copies of manuscripts with comments beside their paragraphs.

use std::{
    collections::BTreeMap,
    io::{Seek, Write},
    path::Path,
};

use quick_xml::{
    escape::escape,
    events::{BytesStart, Event},
};
use zip::{ZipWriter, write::SimpleFileOptions};

use super::parts::{
    Archive, DOCUMENT, DocxError, attribute, document, events, open, part, prefix, wrong,
};

const RELATIONS: &str = "word/_rels/document.xml.rels";
const TYPES: &str = "[Content_Types].xml";
const COMMENTS_TYPE: &str =
    "application/vnd.openxmlformats-officedocument.wordprocessingml.comments+xml";
const RELATIONS_SPACE: &str = "http://schemas.openxmlformats.org/package/2006/relationships";

/// The comment of the whole archive. Word processors leave it out when they save, so that a
/// copy that somebody has worked on is no longer ours.
const OURS: &[u8] = b"gainsay";

/// What is remarked on a paragraph.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// The number of the paragraph, from 0.
    pub paragraph: u32,
    /// What is said, a paragraph each.
    pub lines: Vec<String>,
}

/// Whether a file is a copy that [`with_comments`] wrote and nobody has saved since.
#[must_use]
pub fn is_ours(path: &Path) -> bool {
    open(path).is_ok_and(|archive| archive.comment() == OURS)
}

/// Writes a copy of a manuscript that has each remark as a comment on its paragraph. Every part
/// that is not about comments is copied byte for byte.
///
/// # Errors
///
/// [`DocxError`] says why the manuscript cannot be read, or the copy not be written.
pub fn with_comments(
    path: &Path,
    remarks: &[Remark],
    out: impl Write + Seek,
) -> Result<(), DocxError> {
    let mut archive = open(path)?;
    let mut new = BTreeMap::new();
    if !remarks.is_empty() {
        new = changed(&mut archive, remarks)?;
    }
    let mut writer = ZipWriter::new(out);
    writer.set_raw_comment(OURS.into())?;
    for at in 0..archive.len() {
        let file = archive.by_index_raw(at)?;
        let name = file.name()?.into_owned();
        match new.remove(&name) {
            None => writer.raw_copy_file(file)?,
            Some(text) => {
                drop(file);
                writer.start_file(name, SimpleFileOptions::default())?;
                writer.write_all(text.as_bytes())?;
            }
        }
    }
    for (name, text) in new {
        writer.start_file(name, SimpleFileOptions::default())?;
        writer.write_all(text.as_bytes())?;
    }
    writer.finish()?.flush()?;
    Ok(())
}

/// The parts that are not as they were, or new.
fn changed(
    archive: &mut Archive,
    remarks: &[Remark],
) -> Result<BTreeMap<String, String>, DocxError> {
    let text = document(archive)?;
    let relations = part(archive, RELATIONS)?
        .unwrap_or_else(|| format!("<Relationships xmlns=\"{RELATIONS_SPACE}\"/>"));
    let types = part(archive, TYPES)?.ok_or(DocxError::Missing(TYPES))?;
    let mut new = BTreeMap::new();
    let root = root(DOCUMENT, &text)?;
    let w = prefix(&root);
    let name = match w.strip_suffix(':') {
        Some(prefix) => format!("xmlns:{prefix}"),
        None => "xmlns".to_owned(),
    };
    let space = attribute(&root, &name).unwrap_or_default();
    let (target, old) = match known_comments(&relations)? {
        Some(target) => {
            let old = part(archive, &target)?;
            (target, old)
        }
        None => {
            let free = |name: &&&str| archive.index_for_name(name).is_none();
            let names = ["word/comments.xml", "word/remarks.xml"];
            let name = names.iter().find(free).unwrap_or(&names[0]);
            let file = name.trim_start_matches("word/");
            // The strict kind of the format has names of its own.
            let kind = match space.contains("purl.oclc.org") {
                true => "http://purl.oclc.org/ooxml/officeDocument/relationships/comments",
                false => {
                    "http://schemas.openxmlformats.org/officeDocument/2006/relationships/comments"
                }
            };
            let free = (1..).map(|n: u32| format!("gainsay{n}"));
            let mut free = free.filter(|id| !relations.contains(&format!("\"{id}\"")));
            let id = free.next().unwrap_or_default();
            let relation = |p: &str| {
                format!("<{p}Relationship Id=\"{id}\" Type=\"{kind}\" Target=\"{file}\"/>")
            };
            new.insert(
                RELATIONS.to_owned(),
                appended(RELATIONS, &relations, relation)?,
            );
            ((*name).to_owned(), None)
        }
    };
    if !types.contains(&format!("\"/{target}\"")) {
        let kind = |p: &str| {
            format!("<{p}Override PartName=\"/{target}\" ContentType=\"{COMMENTS_TYPE}\"/>")
        };
        new.insert(TYPES.to_owned(), appended(TYPES, &types, kind)?);
    }
    let old = old.unwrap_or_else(|| {
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n\
             <w:comments xmlns:w=\"{}\"/>",
            escape(&space)
        )
    });
    let first = next_id(&old)?;
    let all = |w: &str| {
        let numbered = (first..).zip(remarks);
        numbered
            .map(|(id, remark)| comment(w, id, remark))
            .collect()
    };
    new.insert(target, appended("comments", &old, all)?);
    new.insert(DOCUMENT.to_owned(), marked(&text, &w, first, remarks)?);
    Ok(new)
}

/// The first element of a part.
fn root<'x>(part: &'static str, xml: &'x str) -> Result<BytesStart<'x>, DocxError> {
    for event in events(part, xml) {
        if let (Event::Start(element) | Event::Empty(element), ..) = event? {
            return Ok(element);
        }
    }
    Err(wrong(part, "it is empty"))
}

/// The name of the part that the document has its comments in.
fn known_comments(relations: &str) -> Result<Option<String>, DocxError> {
    for event in events(RELATIONS, relations) {
        let (Event::Start(element) | Event::Empty(element), ..) = event? else {
            continue;
        };
        let kind = attribute(&element, "Type").unwrap_or_default();
        if kind.ends_with("/relationships/comments")
            && let Some(target) = attribute(&element, "Target")
        {
            let whole = target.strip_prefix('/').map(str::to_owned);
            return Ok(Some(whole.unwrap_or_else(|| format!("word/{target}"))));
        }
    }
    Ok(None)
}

/// A number that no comment has, nor any behind it.
fn next_id(comments: &str) -> Result<u32, DocxError> {
    let mut next = 0;
    for event in events("comments", comments) {
        if let (Event::Start(element), ..) = event?
            && element.local_name().as_ref() == b"comment"
        {
            let id = attribute(&element, &format!("{}id", prefix(&element)));
            let id = id.and_then(|id| id.parse::<u32>().ok());
            next = next.max(id.map_or(0, |id| id.saturating_add(1)));
        }
    }
    Ok(next)
}

/// A part with something more at the end of its root; `more` is given the root's prefix.
fn appended(
    part: &'static str,
    xml: &str,
    more: impl Fn(&str) -> String,
) -> Result<String, DocxError> {
    let mut depth = 0_usize;
    for event in events(part, xml) {
        let (event, start, end) = event?;
        match event {
            Event::Start(_) => depth += 1,
            Event::End(element) if depth == 1 => {
                let name = element.name();
                let prefix = name.prefix();
                let prefix = prefix.map_or_else(String::new, |prefix| {
                    String::from_utf8_lossy(prefix.as_ref()).into_owned() + ":"
                });
                let (before, behind) = xml.split_at_checked(start).unwrap_or((xml, ""));
                return Ok(format!("{before}{}{behind}", more(&prefix)));
            }
            Event::End(_) => depth = depth.saturating_sub(1),
            Event::Empty(root) if depth == 0 => {
                let name = root.name();
                let name = String::from_utf8_lossy(name.as_ref()).into_owned();
                let (before, behind) = xml.split_at_checked(end).unwrap_or((xml, ""));
                let before = before.strip_suffix("/>").unwrap_or(before);
                return Ok(format!(
                    "{before}>{}</{name}>{behind}",
                    more(&prefix(&root))
                ));
            }
            _ => {}
        }
    }
    Err(wrong(part, "it breaks off"))
}

/// A comment as an element.
fn comment(w: &str, id: u32, remark: &Remark) -> String {
    let mut text = format!("<{w}comment {w}id=\"{id}\" {w}author=\"gainsay\" {w}initials=\"g\">");
    for line in &remark.lines {
        // Other control characters cannot stand in XML at all.
        let line: String = line
            .chars()
            .map(|c| match c {
                '\u{fffe}' | '\u{ffff}' => ' ',
                c if c.is_control() => ' ',
                c => c,
            })
            .collect();
        text += &format!(
            "<{w}p><{w}r><{w}t xml:space=\"preserve\">{}</{w}t></{w}r></{w}p>",
            escape(&line)
        );
    }
    text + &format!("</{w}comment>")
}

/// The document with the places of the comments around what their paragraphs hold.
fn marked(xml: &str, w: &str, first: u32, remarks: &[Remark]) -> Result<String, DocxError> {
    let mut wanted: BTreeMap<u32, (String, String)> = BTreeMap::new();
    for (id, remark) in (first..).zip(remarks) {
        let (start, end) = wanted.entry(remark.paragraph).or_default();
        *start += &format!("<{w}commentRangeStart {w}id=\"{id}\"/>");
        *end += &format!(
            "<{w}commentRangeEnd {w}id=\"{id}\"/><{w}r><{w}commentReference {w}id=\"{id}\"/></{w}r>"
        );
    }
    let mut insertions: BTreeMap<usize, String> = BTreeMap::new();
    let mut count = 0;
    // The paragraphs we are in, each with where its content begins.
    let mut open: Vec<(u32, usize)> = Vec::new();
    for event in events(DOCUMENT, xml) {
        let (event, start, end) = event?;
        let (name, begins, ends) = match &event {
            Event::Start(element) => (element.name().into_inner(), true, false),
            Event::Empty(element) => (element.name().into_inner(), true, true),
            Event::End(element) => (element.name().into_inner(), false, true),
            _ => continue,
        };
        match name.strip_prefix(w.as_bytes()).unwrap_or_default() {
            b"p" => {
                if begins && !ends {
                    open.push((count, end));
                }
                count += u32::from(begins);
                if ends
                    && !begins
                    && let Some((number, content)) = open.pop()
                    && let Some((before, behind)) = wanted.get(&number)
                {
                    *insertions.entry(content).or_default() += before;
                    *insertions.entry(start).or_default() += behind;
                }
            }
            // What holds for the whole paragraph comes first.
            b"pPr" if ends => {
                if let Some((_, content)) = open.last_mut() {
                    *content = end;
                }
            }
            _ => {}
        }
    }
    let mut text = String::with_capacity(xml.len() + insertions.len() * 256);
    let mut from = 0;
    for (at, insertion) in insertions {
        text += xml.get(from..at).unwrap_or_default();
        text += &insertion;
        from = at;
    }
    text += xml.get(from..).unwrap_or_default();
    Ok(text)
}
