//! Small pieces of HTML.

/// Text with the signs of markup made harmless.
pub(super) fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            c => safe.push(c),
        }
    }
    safe
}

/// A name as the id of an element: different names stay different.
pub(super) fn id(name: &str) -> String {
    let mut id = String::with_capacity(name.len());
    for c in name.chars() {
        match c {
            c if c.is_ascii_alphanumeric() || c == '.' || c == '-' => id.push(c),
            c => id.push_str(&format!("_{:x}_", u32::from(c))),
        }
    }
    id
}

/// A number that leads to its why. `shown` is already safe.
pub(super) fn number(name: &str, shown: &str) -> String {
    format!("<a class=\"n\" href=\"#why-{}\">{shown}</a>", id(name))
}

/// A section with its heading.
pub(super) fn section(name: &str, title: &str, body: &str) -> String {
    format!(
        "<section id=\"{name}\" aria-labelledby=\"h-{name}\">\n<h2 id=\"h-{name}\">{title}</h2>\n{body}\n</section>"
    )
}

/// A table with its caption; heads and caption are made safe here, the cells already are.
pub(super) fn table(caption: &str, heads: &[&str], rows: &[Vec<String>]) -> String {
    let head = |text: &&str| {
        if text.is_empty() { "<td></td>".to_owned() } else { format!("<th scope=\"col\">{}</th>", escape(text)) }
    };
    let heads: String = heads.iter().map(head).collect();
    let row = |cells: &Vec<String>| {
        format!("<tr>{}</tr>\n", cells.iter().map(|cell| format!("<td>{cell}</td>")).collect::<String>())
    };
    let rows: String = rows.iter().map(row).collect();
    format!(
        "<div class=\"table\" tabindex=\"0\" role=\"region\" aria-label=\"{caption}\"><table>\n<caption>{caption}</caption>\n<thead><tr>{heads}</tr></thead>\n<tbody>\n{rows}</tbody></table></div>\n",
        caption = escape(caption)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_stranger_writes_is_no_markup() {
        assert_eq!(escape("<b a='\"'>&"), "&lt;b a=&#39;&quot;&#39;&gt;&amp;");
        assert_eq!(id("cut.a\"b.1"), "cut.a_22_b.1");
        assert_ne!(id("buy.larch-2400"), id("buy.larch.2400"));
    }
}
