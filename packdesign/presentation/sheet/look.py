"""The look of the sheet: black on white, A4 on paper, one column on a screen however narrow."""

from __future__ import annotations

from typing import Final

from packdesign.presentation.sheet.markup import style_string

__all__ = ["style_sheet"]

_ALWAYS: Final = """
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0;background:#fff;color:#000;font:10pt/1.35 Helvetica,Arial,"Liberation Sans",
"DejaVu Sans",sans-serif;overflow-wrap:anywhere;hyphens:manual}
main{max-width:190mm;margin:0 auto}
h1{font-size:20pt;line-height:1.15;margin:0}
h2{font-size:14pt;line-height:1.2;margin:7mm 0 2.5mm;padding:0 0 1mm;border-bottom:.6mm solid #000}
.bs-short h2{margin:4mm 0 1.5mm;font-size:12pt}
h3{font-size:10.5pt;margin:4.5mm 0 1.2mm}
p{margin:1.2mm 0}
ul{margin:1mm 0;padding-left:5mm}
li{margin:.7mm 0}
small{display:block;font-size:8pt;line-height:1.3}
.bs-grave{border:.8mm solid #000;padding:1.5mm 2.5mm;font-weight:700}
.bs-head{display:flex;flex-wrap:wrap;gap:2mm 6mm;align-items:flex-end;
border-bottom:.6mm solid #000;padding-bottom:2mm}
.bs-head>div:first-child{flex:1 1 70mm}
.bs-head p{margin:.5mm 0}
.bs-facts{font-size:8.5pt;text-align:right;flex:0 1 auto}
.bs-verdict{border:1mm solid #000;padding:3mm 4mm;margin:3mm 0}
.bs-verdict strong{display:block;font-size:20pt;line-height:1.1}
.bs-verdict.bs-is-stop{border-width:3mm}
.bs-verdict.bs-is-stop strong{font-size:52pt;letter-spacing:.06em;text-align:center}
.bs-verdict.bs-is-stop .bs-meaning{font-size:15pt;font-weight:700;text-align:center}
.bs-meaning{font-size:11.5pt;margin:1mm 0}
.bs-stops{margin:2mm 0 0;padding-left:0;list-style:none;font-size:9.5pt}
.bs-stops li{margin:1mm 0}
.bs-again{float:right;border:.5mm solid #000;padding:0 1.5mm;font-size:9pt;line-height:1.5}
.bs-contents{columns:2;font-size:9pt;padding-left:7mm;margin:2mm 0}
a{color:#000}
table{border-collapse:collapse;width:100%;font-size:8.5pt;line-height:1.28;margin:1.2mm 0}
th,td{border:.2mm solid #777;padding:.8mm 1.3mm;text-align:left;vertical-align:top;
font-weight:400}
thead th{font-weight:700;border-bottom:.5mm solid #000;vertical-align:bottom}
.bs-wide{table-layout:fixed}
.bs-plain{width:auto;max-width:100%}
.bs-plain th{font-weight:700;width:48mm;border-left:0}
.bs-plain td{border-right:0}
.bs-figure{text-align:right;overflow-wrap:normal}
.bs-status{white-space:nowrap;font-size:8pt;overflow-wrap:normal}
.bs-stop,.bs-caution,.bs-unknown{font-weight:700;border:.35mm solid #000;padding:0 .8mm;
display:inline-block;font-size:7.5pt}
.bs-stop{border-width:.8mm}
.bs-unknown{border-style:dashed}
.bs-line{display:block;border-bottom:.2mm solid #000;min-width:14mm;height:6mm}
td .bs-line{border-bottom:0;height:5.5mm;min-width:12mm}
.bs-fields{display:flex;flex-wrap:wrap;gap:1mm 6mm;margin:1.5mm 0 2mm}
.bs-field{flex:1 1 35mm;font-size:8pt}
.bs-ticks{list-style:none;margin:1mm 0;padding:0}
.bs-ticks li{display:flex;gap:2.5mm;align-items:flex-start}
.bs-box{flex:none;width:4mm;height:4mm;border:.35mm solid #000;margin-top:.3mm}
figure{margin:2mm 0}
figcaption{font-size:8.5pt;margin-top:1mm}
.bs-to-width svg{display:block;width:100%;height:auto}
"""
_SCREEN: Final = """
@media screen{main{padding:4mm}.bs-scroll{overflow-x:auto}
.bs-wide{min-width:168mm}.bs-to-size{overflow-x:auto}.bs-print{margin:0 0 3mm}}
@media screen and (max-width:150mm){h1{font-size:16pt}.bs-facts{text-align:left}
.bs-verdict.bs-is-stop strong{font-size:40pt}.bs-contents{columns:1}
.bs-to-width{overflow-x:auto}.bs-to-width svg{min-width:130mm}
.bs-plain th{width:32mm}}
"""
_PAPER: Final = """
@media print{.bs-print{display:none}
.bs-contents{columns:3;font-size:8pt;break-inside:avoid}
.bs-new-page{break-before:page}
h2,h3{break-after:avoid}
.bs-whole,tr,figure,li,.bs-fields,.bs-grave,.bs-head,.bs-verdict>strong{break-inside:avoid}
thead{display:table-header-group}
p,li{orphans:3;widows:3}
figcaption{break-before:avoid}
.bs-to-width svg{max-height:225mm}
main{max-width:none}}
"""


def style_sheet(*, running_title: str, running_status: str, running_foot: str, grave: bool) -> str:
    """Write the style sheet of one document.

    Parameters
    ----------
    running_title, running_status : str
        At the head of every page.
    running_foot : str
        At the foot of every page, before its number.
    grave : bool
        Whether the status stands at the head of every page in large letters, and at its foot.
    """
    status = style_string(running_status)
    word = "font:bold 16pt Helvetica,Arial,sans-serif;color:#000;white-space:nowrap"
    plain = "font:7pt Helvetica,Arial,sans-serif;color:#000;white-space:nowrap"
    top = f"@top-right{{content:{status};{word if grave else plain + ';font-weight:700'}}}"
    warning, weight = (f'{status} ", "', 700) if grave else ('""', 400)
    return (
        f"{_ALWAYS}{_SCREEN}{_PAPER}"
        "@page{size:A4;margin:17mm 14mm 15mm;"
        f"@top-left{{content:{style_string(running_title)};{plain}}}{top}"
        f"@bottom-left{{content:{style_string(running_foot)};{plain}}}"
        f'@bottom-right{{content:{warning} "page " counter(page) " of " counter(pages);{plain};'
        f"font-weight:{weight}}}}}"
    )
