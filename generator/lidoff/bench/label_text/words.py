"""The words of rating labels, in the languages that they are printed in. All are folded as the text is."""

from lidoff.bench.label_text.normalise import folded


def _folded(*words: str) -> frozenset[str]:
    return frozenset(folded(word) for word in " ".join(words).split())


INPUT = _folded("input eingang entrée entree entrada ingresso ingang wejście вход 输入 輸入 入力 입력 정격입력")
OUTPUT = _folded("output ausgang sortie salida saída uscita uitgang wyjście выход 输出 輸出 出力 출력 정격출력")
SHORT_HEADINGS = {"in": "input", "out": "output"}
"""Short forms that are everyday words too; with a colon, or AC or DC before them, they head a section."""
TOTAL = _folded("total gesamt gesamtleistung totale totaal combined всего 总 總 总计 合計 総 合计 총 합계")
MAX = _folded("max maximum maximal maximale maxi máx máximo massimo макс 最大 最高 최대 상한 ≤")
POWER = _folded("power leistung ausgangsleistung puissance potencia potência potenza vermogen мощность")
POWER |= _folded("功率 输出功率 輸出功率 電力 出力電力 전력 출력전력")
SINGLE = frozenset(("single", "port", "ports", "use", "-", ":"))
EACH = _folded("each je jeweils chacun chacune cada ciascuno 各 每 각각")
RATED = _folded("rated nominal nenn nennleistung nominale 额定 額定 定格 정격")
QUANTITY_NAMES = _folded(
    "voltage frequency current rating spannung frequenz strom tension fréquence courant 电压 频率 电流"
)
OR = _folded("or oder ou oppure または 或 또는")
AND = _folded("and und et")
RANGE = _folded("to bis 至 から 到 부터")
LEVEL = _folded("level efficiency energy energieeffizienz")

GENERAL = _folded(
    "model modell modèle modelo type typ made manufacturer manufactured hersteller hergestellt fabricant",
    "fabriqué fabricado hecho prodotto use class caution warning attention serial lot batch date importer",
    "imported distributed designed assembled adapter adaptor charger netzteil switching product brand warranty",
    "recycle do ce fcc rohs ukca ccc weee lps item sku ean upc www http https 型号 型號 制造商 製造商 制造 中国制造 产品 警告 注意 型名 製造元 모델명 제조사 제조국",
)
"""Words that begin a part of the label which is about something else than input and outputs."""

FOR = frozenset(("for",))
AFTER_FOR = frozenset(("indoor", "home", "household", "use"))
"""For indoor use only is about something else; for USB-A is not."""

OTHER_UNITS = _folded("va kva mah ah wh kwh mwh kw mw kv mv khz mhz ohm %")
"""Units after a number that this reader knows and the record's label has no field for."""

WITHOUT_BLANKS = tuple(
    sorted((word for group in (INPUT, OUTPUT, TOTAL, MAX, POWER, RATED, QUANTITY_NAMES, OR, EACH, RANGE, GENERAL)
            for word in group if not word.isascii() and max(word) >= "\u1100" and word != "≤"), key=len, reverse=True)
)  # fmt: skip
"""Words of scripts that write no blanks between words, the longest first."""


def writes_no_blanks(sign: str) -> bool:
    """Whether a sign belongs to a script that writes no blanks between words, or to Hangul, which is treated alike."""
    return "\u1100" <= sign <= "\u11ff" or "\u2e80" <= sign <= "\u9fff" or "\uf900" <= sign <= "\ufaff"
