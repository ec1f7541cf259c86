//! The page around the plots: one file, no network, for light and dark screens and for paper.

use base64::prelude::{BASE64_STANDARD, Engine};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use sha2::{Digest, Sha256};

/// Colours can be distinguished by people who do not distinguish red from green: blue, orange, and tones of lightness.
const STYLE: &str = "
:root{--paper:#fff;--ink:#1a1d21;--faint:#5b626b;--rule:#d4d8dd;--k0:#0b5c9e;--k1:#b94a00;--k2:#5a3d8a;--k3:#007a6a;--k4:#8a6a00;--k5:#555;--band:#0b5c9e33;--soft:#f3f5f7}
@media screen and (prefers-color-scheme:dark){:root{--paper:#14171a;--ink:#e8eaed;--faint:#a4abb3;--rule:#3a4047;--k0:#6cb4ee;--k1:#ffa050;--k2:#c0a6f0;--k3:#5ed0bd;--k4:#e3c65a;--k5:#bbb;--band:#6cb4ee40;--soft:#1e2227}}
*{box-sizing:border-box}
body{margin:0 auto;padding:1.2rem;max-width:62rem;background:var(--paper);color:var(--ink);font:15px/1.45 system-ui,'DejaVu Sans',sans-serif}
h1{font-size:1.5rem;margin:0 0 .3rem}h2{font-size:1.15rem;margin:1.6rem 0 .4rem;border-bottom:1px solid var(--rule);padding-bottom:.2rem}
p{margin:.4rem 0}.faint{color:var(--faint)}
table{border-collapse:collapse;width:100%;font-size:.87rem;font-variant-numeric:tabular-nums}
th,td{text-align:left;padding:.22rem .5rem;border-bottom:1px solid var(--rule);vertical-align:top}
th{font-weight:600;color:var(--faint)}td.n,th.n{text-align:right}
tbody tr:hover{background:var(--soft)}
.wide{overflow-x:auto}.wide>svg{min-width:36rem}
td.one{white-space:nowrap}td.n,th.n{white-space:nowrap}
.simulated{border:3px double var(--k1);padding:.3rem .8rem;font-weight:700}
.filter label{margin-right:1rem}
.sites td{max-width:26rem}.sites td.long{min-width:22rem}.sites td.one{max-width:none}
#weak:checked~.wide tr.fine,#lost:checked~.wide tr.kept,#short:checked~.wide tr.long{display:none}
svg{width:100%;height:auto;display:block;margin:.4rem 0}
svg text{fill:var(--ink);font:12px system-ui,'DejaVu Sans',sans-serif;paint-order:stroke;stroke:var(--paper);stroke-width:3px}
svg .small{font-size:11px;fill:var(--faint)}svg .end{text-anchor:end}svg .middle{text-anchor:middle}svg .strong{font-weight:700}
svg .grid{stroke:var(--rule);fill:none;stroke-width:1}svg .axis{stroke:var(--ink);fill:none;stroke-width:1.2}
svg .event{stroke:var(--k1);stroke-width:1;stroke-dasharray:3 3}svg .band{fill:var(--band);stroke:none}svg .bar{fill:var(--band);stroke:var(--k0)}
svg .k0{fill:var(--k0);stroke:var(--k0)}svg .k1{fill:var(--k1);stroke:var(--k1)}svg .k2{fill:var(--k2);stroke:var(--k2)}svg .k3{fill:var(--k3);stroke:var(--k3)}svg .k4{fill:none;stroke:var(--k4);stroke-width:2}svg .k5{fill:var(--k5);stroke:var(--k5)}
svg .line{fill:none;stroke-width:1.8}svg .dash{stroke-dasharray:6 4}svg .thick{fill:none;stroke-width:3}svg .ink{fill:var(--ink)}
.caution{border-left:4px solid var(--k1);padding:.3rem .8rem;background:var(--soft)}.caution ul{margin:.2rem 0;padding-left:1.1rem}
.sign{display:grid;grid-template-columns:1fr 1fr;gap:1.8rem 2rem;margin-top:1.6rem}.sign div{border-top:1px solid var(--ink);padding-top:.2rem;font-size:.85rem}
@media print{@page{size:A4;margin:13mm}body{padding:0;max-width:none;font-size:9.6pt;line-height:1.3}h1{font-size:14pt}h2{margin:.55rem 0 .2rem;font-size:11pt;break-after:avoid}table{font-size:8.4pt}th,td{padding:.08rem .35rem}svg{break-inside:avoid}tr{break-inside:avoid}.wide{overflow:visible}.wide>svg{min-width:0}.filter>input,.filter>label{display:none}.two svg{max-height:58mm}}
";

/// A whole page with its title and body; the title is cleaned and escaped.
pub fn page(title: &str, body: &Markup) -> String {
    whole(title, body, None)
}

/// A page with one script behind its body, the only one that it may run. The script is this project's own: it is not
/// escaped.
pub fn page_with_script(title: &str, body: &Markup, script: &str) -> String {
    whole(title, body, Some(script))
}

fn whole(title: &str, body: &Markup, script: Option<&str>) -> String {
    let allowed = script.map_or_else(String::new, |script| {
        let digest = BASE64_STANDARD.encode(Sha256::digest(script));
        format!("; script-src 'sha256-{digest}'")
    });
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width,initial-scale=1";
                meta http-equiv="Content-Security-Policy" content={ "default-src 'none'; style-src 'unsafe-inline'; img-src data:" (allowed) };
                meta name="color-scheme" content="light dark";
                title { (crate::sanitize::plain(title)) }
                style { (PreEscaped(STYLE)) }
            }
            body { (body) @if let Some(script) = script { script { (PreEscaped(script)) } } }
        }
    }
    .into_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_reaches_for_nothing_outside_and_its_title_stays_text() {
        let text = page("</title><script>\u{1b}", &html! { p { "x" } });
        assert!(
            !text.contains("<script")
                && !text.contains('\u{1b}')
                && !text.contains("http://")
                && !text.contains("https://")
        );
    }
}
