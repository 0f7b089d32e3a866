"""The machine-readable twin of the build sheet: the assess object, then what the sheet adds."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

from packdesign.planning.bench.bench_checks import checks_of
from packdesign.planning.bench.part_line import PartLine
from packdesign.planning.bench.parts_list import parts_of
from packdesign.planning.charge_plan.go_checklist import go_checklist
from packdesign.planning.verdicts.verdict import Status
from packdesign.presentation.export.contract import assessment_object, verdict_objects
from packdesign.presentation.export.keep_object import keep_object
from packdesign.presentation.export.layout_object import arrangement_object
from packdesign.presentation.export.plain import number
from packdesign.presentation.sheet.blocks import (
    BLANK,
    Blanks,
    Block,
    Bullets,
    Cell,
    Note,
    Picture,
    Section,
    Subhead,
    Table,
    Ticks,
)
from packdesign.presentation.sheet.service import BuildSheet

__all__ = ["sheet_object"]


def sheet_object(sheet: BuildSheet, *, file: Path | None = None) -> dict[str, Any]:
    """Give what ``packdesign sheet --json`` prints.

    Parameters
    ----------
    sheet : BuildSheet
        The sheet.
    file : Path or None
        Where its document was written; None: nowhere.
    """
    facts = sheet.facts
    judged = facts.judged
    design, kept = judged.design, facts.kept
    return {
        **assessment_object(judged, facts.starts),
        "overall": str(facts.overall),
        "verdicts": verdict_objects(facts.verdicts),
        "file": None if file is None else str(file),
        "kind": None if file is None else file.suffix.lstrip(".").lower(),
        "made_on": facts.made_on.isoformat(),
        "brief_digest": sheet.digest,
        "program_version": sheet.version,
        "layout": arrangement_object(design.arrangement),
        "parts": [_part(each) for each in parts_of(judged)],
        "bench_checks": [asdict(each) for each in checks_of(design)],
        "first_charge": list(judged.charge.first_charge),
        "go_checklist": [asdict(each) for each in go_checklist(design.cell)],
        "keep": None if kept is None else _keep(keep_object(kept)),
        "sections": [_section(each) for each in sheet.sections],
    }


def _part(line: PartLine) -> dict[str, Any]:
    return {
        "part": line.part,
        "count": line.count,
        "what": line.what,
        "known_from": line.known_from,
        "area_mm2": None if line.area_m2 is None else number(line.area_m2 * 1e6),
        "length_mm": None if line.length_m is None else number(line.length_m * 1e3),
    }


def _keep(found: dict[str, Any]) -> dict[str, Any]:
    """Without what the object holds already."""
    own = ("years", "storage", "carrying", "label", "retire_signs", "retire_now", "advice")
    return {key: found[key] for key in own}


def _section(section: Section) -> dict[str, Any]:
    return {
        "id": section.id,
        "title": section.title,
        "blocks": [_block(each) for each in section.blocks],
    }


def _block(block: Block) -> dict[str, Any]:
    match block:
        case Subhead(text=text):
            plain: dict[str, Any] = {"kind": "heading", "text": text}
        case Note(text=text):
            plain = {"kind": "text", "text": text}
        case Bullets(texts=texts):
            plain = {"kind": "list", "texts": list(texts)}
        case Ticks(ticks=ticks):
            plain = {"kind": "to_do", "items": [asdict(each) for each in ticks]}
        case Blanks(names=names):
            plain = {"kind": "to_fill_in", "names": list(names)}
        case Picture(caption=caption):
            plain = {"kind": "drawing", "caption": caption}
        case Table():
            plain = {
                "kind": "table",
                "name": block.name,
                "heads": list(block.heads),
                "rows": [[_cell(cell) for cell in row] for row in block.rows],
            }
    return plain


def _cell(cell: Cell) -> str | None:
    """Text as it is; None is a field to be filled in by hand."""
    if cell is BLANK:
        return None
    return cell.value if isinstance(cell, Status) else str(cell)
