//! The modules of the app as one script. They are plain: one import or export to a line, names in braces, no circles.

use crate::Files;

/// The script that does what the module `entry` does.
///
/// # Errors
/// A line that is not as plain as that, or a module that is not there.
pub fn script(files: &Files, entry: &str) -> Result<String, String> {
    let mut script = String::from("const $of = {};\n");
    let mut begun = Vec::new();
    add(files, entry, &mut begun, &mut script)?;
    Ok(script)
}

/// Adds a module behind those that it needs. The last one, which nobody needs, may wait at its top: it stands bare.
fn add(files: &Files, name: &str, begun: &mut Vec<String>, script: &mut String) -> Result<(), String> {
    let is_entry = begun.is_empty();
    begun.push(name.to_owned());
    let text = files.get(name).ok_or_else(|| format!("there is no module {name}"))?;
    let text = std::str::from_utf8(text).map_err(|error| format!("{name}: {error}"))?;
    let (mut body, mut exports) = (String::new(), Vec::new());
    for (number, line) in text.lines().enumerate() {
        let strange = || format!("{name}:{}: no plain import or export: {line}", number + 1);
        if line.starts_with("import ") {
            let (names, other) = import(line).ok_or_else(strange)?;
            if !begun.iter().any(|begun| begun == other) {
                add(files, other, begun, script)?;
            }
            body += &format!("const {{ {} }} = $of[{other:?}];\n", names.replace(" as ", ": "));
        } else if let Some(said) = line.strip_prefix("export ") {
            exports.push(exported(said).ok_or_else(strange)?);
            body += said;
            body.push('\n');
        } else {
            body += line;
            body.push('\n');
        }
    }
    match is_entry {
        true => *script += &body,
        false => *script += &format!("$of[{name:?}] = (() => {{\n{body}return {{ {} }};\n}})();\n", exports.join(", ")),
    }
    Ok(())
}

/// The names and the module of `import { a, b as c } from "./x.js";`.
fn import(line: &str) -> Option<(&str, &str)> {
    let (names, from) = line.strip_prefix("import {")?.split_once("} from \"./")?;
    Some((names.trim(), from.strip_suffix("\";")?))
}

/// The name that a declaration makes.
fn exported(said: &str) -> Option<&str> {
    let kinds = ["async function ", "function ", "const ", "class "];
    let name = kinds.iter().find_map(|kind| said.strip_prefix(kind))?;
    let end = name.find(|letter: char| !letter.is_alphanumeric() && letter != '_' && letter != '$')?;
    (end > 0).then(|| &name[..end])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(of: &[(&str, &str)]) -> Files {
        of.iter().map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec())).collect()
    }

    #[test]
    fn each_module_stands_once_before_who_needs_it() {
        let files = files(&[
            ("main.js", "import { b } from \"./b.js\";\nimport { a as first } from \"./a.js\";\nawait b(first);\n"),
            ("b.js", "import { a } from \"./a.js\";\nexport async function b(x) {\n  return [x, a];\n}\n"),
            ("a.js", "export const a = 1;\n"),
        ]);
        let whole = "const $of = {};\n$of[\"a.js\"] = (() => {\nconst a = 1;\nreturn { a };\n})();\n$of[\"b.js\"] = (() => {\nconst { a } = $of[\"a.js\"];\nasync function b(x) {\n  return [x, a];\n}\nreturn { b };\n})();\nconst { b } = $of[\"b.js\"];\nconst { a: first } = $of[\"a.js\"];\nawait b(first);\n";
        assert_eq!(script(&files, "main.js").as_deref(), Ok(whole));
    }

    #[test]
    fn what_is_not_plain_is_told() {
        for strange in [
            "import \"./a.js\";",
            "import a from \"./a.js\";",
            "export default 1;",
            "export { a };",
            "import { a } from \"./none.js\";",
        ] {
            assert!(script(&files(&[("main.js", strange)]), "main.js").is_err(), "{strange}");
        }
    }
}
