"""Finds every place of a source that can be mutated, and makes the source switchable there.

Nothing is compiled twice: `a < b` becomes a call that answers as before unless its mutant is on
(see runtime/mutant.h). The parser is libclang, so a `<` of a template is never taken for one of a
comparison.
"""
import dataclasses
import pathlib
import re
import sys

try:
    import clang.cindex as cindex
except ImportError:  # the bindings are plain Python: those of the system serve any interpreter
    sys.path.append("/usr/lib/python3/dist-packages")
    import clang.cindex as cindex

cindex.Config.set_library_file("libclang-14.so.1")
K = cindex.CursorKind

COMPARE = {  # operator: (call, its edge moved, its opposite)
    "<": ("less", "<=", ">="), "<=": ("lessEqual", "<", ">"), ">": ("greater", ">=", "<="),
    ">=": ("greaterEqual", ">", "<"), "==": ("equal", None, "!="), "!=": ("unequal", None, "=="),
}
ARITHMETIC = {"+": ("plus", "-", "sign"), "-": ("minus", "+", "sign"), "*": ("times", "/", "factor"), "/": ("over", "*", "factor")}
COMPOUND = {"+=": ("add", "-="), "-=": ("take", "+=")}
NUMBERS = {getattr(cindex.TypeKind, n) for n in "INT UINT LONG ULONG LONGLONG ULONGLONG SHORT USHORT FLOAT DOUBLE".split()}
OTHER_UNIT = {
    "second": "minute", "minute": "second", "hour": "minute", "day": "hour", "metre": "millimetre", "centimetre": "metre",
    "millimetre": "metre", "micrometre": "millimetre", "kilogram": "gram", "gram": "kilogram", "milligram": "gram",
    "tonne": "kilogram", "one": "percent", "percent": "one", "newton": "kilonewton", "kilonewton": "newton",
    "pascal": "megapascal", "megapascal": "pascal", "litre": "cubic_centimetre", "cubic_centimetre": "litre",
}
OTHER_CODE = {"g": "kg", "kg": "g", "mg": "g", "mm": "um", "um": "mm", "m": "mm", "Cel": "K", "K": "Cel", "%": "1",
              "MPa": "bar", "bar": "MPa", "N": "kN", "kN": "N", "N/cm2": "MPa", "min": "s", "s": "min", "h": "min", "d": "h"}
CONVERSIONS = {"inUnit", "differenceInUnit"}
# What stands in the way, or is put on record for it.
ANSWERS = re.compile(r"^(?:\w+::)*(?:vector<platemark::(?:Missing|Finding)\b|optional<platemark::Missing>|Result<void>|Result<std::vector<platemark::Missing\b)")
LISTS = re.compile(r"\bvector<(?:platemark::(?:Missing|Finding|ledger::NewFact|NewFact)\b|std::(?:__cxx11::)?(?:basic_)?string\b)")
REFUSALS = re.compile(r"\b(badInput|unknown|conflict|refusal|late|no|error|requirement|FindingWord|Missing|Obstacles)\b|\{\{")


@dataclasses.dataclass
class Mutant:
    """One change of one place; `text` is the place as it stands, `mutation` what becomes of it."""
    file: str
    function: str
    line: int
    kind: str
    text: str
    mutation: str
    number: int = 0
    skipped: str = ""

    @property
    def key(self) -> tuple[str, str, str, str]:
        return (self.file, self.function, self.text, self.mutation)


class Source:
    """One source: its text, its mutants, and the edits that make it switchable."""

    def __init__(self, path: pathlib.Path, name: str, arguments: list[str], first: int) -> None:
        self.name, self.raw, self.next = name, path.read_bytes(), first
        unit = cindex.Index.create().parse(str(path), args=arguments)
        broken = [str(d) for d in unit.diagnostics if d.severity >= cindex.Diagnostic.Error]
        if broken:
            raise SystemExit(f"{name} does not parse: {broken[0]}")
        self.path, self.mutants, self.skipped = str(path), [], []
        self.wraps: list[tuple[int, int, int, str, str]] = []
        self.swaps: dict[int, tuple[int, str]] = {}
        self.function, self.reason, self.seen, self.done = "", "", set(), set()
        for cursor in unit.cursor.get_children():
            if cursor.location.file and cursor.location.file.name == self.path:
                self.declaration(cursor)

    # --- text and edits ---------------------------------------------------------------------

    def cut(self, start: int, end: int) -> str:
        return self.raw[start:end].decode("utf-8")

    def text(self, cursor) -> str:
        return self.cut(*span(cursor))

    def wrap(self, where: tuple[int, int], before: str, after: str = ")") -> None:
        self.wraps.append((*where, len(self.wraps), before, after))

    def swap(self, start: int, end: int, text: str) -> None:
        self.swaps[start] = (end, text)

    def switchable(self) -> str:
        """The text with all edits. At one place what ends comes before what begins, inner ends
        before outer ones, outer beginnings before inner ones."""
        pieces: list[tuple[int, int, int, int, str]] = []
        for start, end, order, before, after in self.wraps:
            pieces.append((start, 1, -end, order, before))
            pieces.append((end, 0, -start, -order, after))
        for start, (end, text) in self.swaps.items():
            pieces.append((start, 2, 0, 0, text))
        out, at = [], 0
        for place, rank, _, _, text in sorted(pieces):
            out.append(self.cut(at, place) if place > at else "")
            out.append(text)
            at = max(at, self.swaps[place][0] if rank == 2 else place)
        return "".join(out) + self.cut(at, len(self.raw))

    def mutant(self, where: tuple[int, int], kind: str, mutation: str, once: object = None) -> int | None:
        """A number for a new mutant; None where nothing may be changed, or it is there already."""
        key = (where, kind, mutation) if once is None else once
        if key in self.done:
            return None
        self.done.add(key)
        line = self.raw.count(b"\n", 0, where[0]) + 1
        found = Mutant(self.name, self.function, line, kind, " ".join(self.cut(*where).split()), mutation, skipped=self.reason)
        if self.reason:
            self.skipped.append(found)
            return None
        found.number, self.next = self.next, self.next + 1
        self.mutants.append(found)
        return found.number

    # --- walking ----------------------------------------------------------------------------

    def declaration(self, cursor) -> None:
        if cursor.kind in (K.NAMESPACE, K.STRUCT_DECL, K.CLASS_DECL, K.UNEXPOSED_DECL, K.LINKAGE_SPEC):
            for child in cursor.get_children():
                self.declaration(child)
        elif cursor.kind in (K.FUNCTION_DECL, K.CXX_METHOD, K.FUNCTION_TEMPLATE, K.CONSTRUCTOR):
            self.body_of(cursor)
        elif cursor.kind == K.VAR_DECL and not self.constant(cursor):
            self.within("a constant of the file", lambda: self.children(cursor))
        elif cursor.kind == K.STATIC_ASSERT:
            self.within("a static_assert", lambda: self.children(cursor))

    def within(self, reason: str, walk) -> None:
        before, self.reason = self.reason, self.reason or reason
        walk()
        self.reason = before

    def body_of(self, cursor) -> None:
        body = next((c for c in cursor.get_children() if c.kind == K.COMPOUND_STMT), None)
        if body is None or self.text(body).strip() == ";":
            return
        head = self.cut(span(cursor)[0], span(body)[0])
        self.function = cursor.spelling
        if cursor.kind == K.FUNCTION_TEMPLATE:
            self.within("a template", lambda: self.visit(body))
        elif "constexpr" in head and cursor.result_type.spelling.endswith("Kind") and "verb<" in self.text(body):
            at = span(cursor)[0] + head.index("constexpr")
            self.swap(at, at + len("constexpr"), "")
            self.visit(body)
        elif "constexpr" in head or "consteval" in head:
            self.within("computed by the compiler", lambda: self.visit(body))
        else:
            self.visit(body)

    def children(self, cursor) -> None:
        for child in cursor.get_children():
            self.visit(child)

    def visit(self, cursor) -> None:
        start, end = span(cursor)
        if cursor.location.file is None or cursor.location.file.name != self.path or start == end:
            return
        step = getattr(self, "at_" + cursor.kind.name.lower(), None)
        if step is None or step(cursor) is not True:
            self.children(cursor)

    # --- one kind of node each; True when the children are dealt with -----------------------

    def at_decl_stmt(self, cursor):
        text = self.text(cursor)
        if re.match(r"static constexpr Kind \w+\[\]", text):
            self.swap(span(cursor)[0], span(cursor)[0] + len("static constexpr"), "static const")
            self.children(cursor)
            return True
        if re.match(r"(static )?constexpr\b", text):
            if self.constant(next(cursor.get_children())):
                return True
            self.within("computed by the compiler", lambda: self.children(cursor))
            return True

    def constant(self, cursor) -> bool:
        """A named number, such as a slack of time: it becomes a variable that can be halved."""
        start, end = span(cursor)
        head = re.match(r"(?:static )?constexpr\s+([\w:]+\s+\w+\s*=\s*)", self.cut(start, end))
        if self.reason or not head or cursor.type.get_canonical().kind not in NUMBERS:
            return False
        self.function = cursor.spelling
        number = self.mutant((start + head.end(), end), "constant", f"{cursor.spelling} halved")
        self.swap(start, start + head.start(1), "static const ")
        self.wrap((start + head.end(), end), f"pm::halved({number}, ")
        return True

    def at_static_assert(self, cursor):
        self.within("a static_assert", lambda: self.children(cursor))
        return True

    def at_case_stmt(self, cursor):
        label, *rest = cursor.get_children()
        self.within("a case of a switch", lambda: self.visit(label))
        for child in rest:
            self.visit(child)
        return True

    def at_binary_operator(self, cursor):
        self.between(cursor, list(cursor.get_children()))

    def at_compound_assignment_operator(self, cursor):
        left, right = cursor.get_children()
        operator, place = self.operator(left, right)
        if operator not in COMPOUND or cursor.type.get_canonical().kind not in NUMBERS:
            return
        call, opposite = COMPOUND[operator]
        number = self.mutant(span(cursor), "sign", f"{operator} to {opposite}")
        if number:
            self.wrap(span(cursor), f"pm::{call}({number}, ")
            self.swap(*place, ",")

    def at_unary_operator(self, cursor):
        start, end = span(cursor)
        if re.match(r"!(?!=)", self.cut(start, end)):
            number = self.mutant((start, end), "not left out", "! left out")
            if number:
                self.swap(start, start + 1, "")
                self.wrap((start, end), f"!pm::negated({number}, ")
        elif (sign := self.cut(start, start + 2)) in ("++", "--") and (start, end) not in self.seen:
            number = self.mutant((start, end), "sign", f"{sign} to {'--' if sign == '++' else '++'}")
            if number:
                self.swap(start, start + 2, "")
                self.wrap((start, end), f"pm::{'up' if sign == '++' else 'down'}({number}, ")
        elif sign[0] == "-" and cursor.type.get_canonical().kind in NUMBERS:
            number = self.mutant((start, end), "sign", "- left out")
            if number:
                self.swap(start, start + 1, "")
                self.wrap((start, end), f"pm::unsigned_({number}, ")

    def at_call_expr(self, cursor):
        inner = list(cursor.get_children())
        if cursor.spelling.startswith("operator") and len(inner) == 3:
            self.between(cursor, [inner[0], inner[2]])
        self.answer(cursor)
        if cursor.spelling in CONVERSIONS and len(list(cursor.get_arguments())) == 2:
            self.conversion(*cursor.get_arguments())

    def at_if_stmt(self, cursor):
        inner = list(cursor.get_children())
        self.statements(inner[-2:])
        if any(c.kind == K.VAR_DECL for c in inner) or re.match(r"if\s+constexpr", self.text(cursor)):
            self.within("a condition that declares", lambda: self.mutant(span(inner[0]), "branch never taken", "never taken"))
            return
        at = next(i for i in range(len(inner) - 1) if ")" in self.cut(span(inner[i])[1], span(inner[i + 1])[0]))
        self.branch(cursor, inner[at], inner[at + 1])

    def at_while_stmt(self, cursor):
        inner = list(cursor.get_children())
        self.statements(inner[-1:])
        self.condition(inner[0])

    def at_conditional_operator(self, cursor):
        self.condition(next(cursor.get_children()))

    def at_for_stmt(self, cursor):
        inner = list(cursor.get_children())
        self.seen.update(span(c) for c in inner[:-1])
        self.statements(inner[-1:])

    def at_cxx_for_range_stmt(self, cursor):
        self.statements(list(cursor.get_children())[-1:])

    def at_compound_stmt(self, cursor):
        self.statements(list(cursor.get_children()))

    def at_decl_ref_expr(self, cursor):
        self.unit(cursor)
        self.permit(cursor)

    def at_cxx_bool_literal_expr(self, cursor):
        if self.in_table(cursor) and self.text(cursor) == "true":
            number = self.mutant(span(cursor), "permit", "signature not asked", once=("signed", span(cursor)))
            if number:
                self.wrap(span(cursor), f"pm::inTable({number}, ", ", false)")

    def at_string_literal(self, cursor):
        code = self.text(cursor).strip('"')
        if code not in OTHER_CODE:
            return
        number = self.mutant(span(cursor), "unit", f'"{OTHER_CODE[code]}"')
        if number:
            self.wrap(span(cursor), f"pm::other({number}, ", f', "{OTHER_CODE[code]}")')

    # --- the mutations ----------------------------------------------------------------------

    def operator(self, left, right) -> tuple[str, tuple[int, int]]:
        """The text between two operands, and where it stands; empty when they overlap."""
        start, end = span(left)[1], span(right)[0]
        between = self.cut(start, end) if start < end else ""
        token = between.strip()
        return token, (start + between.find(token), start + between.find(token) + len(token.encode()))

    def between(self, cursor, operands) -> None:
        left, right = sorted(operands, key=lambda c: span(c))
        operator, place = self.operator(left, right)
        where = (span(left)[0], span(right)[1])
        if operator in COMPARE:
            self.comparison(where, operator, place)
        elif operator in ("&&", "||"):
            self.logical(cursor, left, right, operator, place)
        elif operator in ARITHMETIC and cursor.type.get_canonical().kind in NUMBERS:
            call, opposite, kind = ARITHMETIC[operator]
            number = self.mutant(where, kind, f"{operator} to {opposite}")
            if number:
                self.wrap(where, f"pm::{call}({number}, ")
                self.swap(*place, ",")

    def comparison(self, where, operator, place) -> None:
        if ("compared", place) in self.done:
            return
        self.done.add(("compared", place))
        call, edge, opposite = COMPARE[operator]
        numbers = [self.mutant(where, "comparison edge", f"{operator} to {edge}")] if edge else []
        numbers.append(self.mutant(where, "comparison turned", f"{operator} to {opposite}"))
        if None not in numbers:
            self.wrap(where, f"pm::{call}({', '.join(map(str, numbers))}, ")
            self.swap(*place, ",")

    def logical(self, cursor, left, right, operator, place) -> None:
        where = span(cursor)
        number = self.mutant(where, "logical swapped", f"{operator} to {'||' if operator == '&&' else '&&'}")
        if number and operator == "&&":
            self.wrap(where, "(pm::truth(", f") : pm::on({number}))")
            self.swap(*place, f") != pm::on({number}) ? pm::truth(")
        elif number:
            self.wrap(where, "(pm::truth(", f") : !pm::on({number}))")
            self.swap(*place, f") == pm::on({number}) ? pm::truth(")
        for side in (left, right):
            if not self.is_logical(side, operator):
                number = self.mutant(span(side), "side left out", f"left out of {operator}")
                if number:
                    self.wrap(span(side), f"pm::leftOut({number}, {'true' if operator == '&&' else 'false'}, ")

    def bare(self, cursor):
        """The expression without what the compiler put around it."""
        while cursor.kind in (K.UNEXPOSED_EXPR, K.PAREN_EXPR):
            inner = list(cursor.get_children())
            if len(inner) != 1 or span(inner[0])[0] == span(inner[0])[1]:
                break
            cursor = inner[0]
        return cursor

    def is_logical(self, cursor, *operators) -> bool:
        cursor = self.bare(cursor)
        if cursor.kind != K.BINARY_OPERATOR:
            return False
        return self.operator(*cursor.get_children())[0] in operators

    def is_mutated(self, cursor) -> bool:
        """A comparison, && or ||, or a ! : its own mutants turn the condition already."""
        cursor = self.bare(cursor)
        if cursor.kind == K.UNARY_OPERATOR:
            return self.text(cursor).startswith("!") or self.is_compared(cursor)
        return cursor.kind == K.BINARY_OPERATOR or self.is_compared(cursor)

    def is_compared(self, cursor) -> bool:
        return any(c.kind == K.CALL_EXPR and c.spelling in ("operator==", "operator<=>", "operator<", "operator<=", "operator>", "operator>=", "operator!=")
                   for c in [cursor, *cursor.get_children()])

    def condition(self, cursor) -> None:
        if self.is_mutated(cursor):
            return
        number = self.mutant(span(cursor), "condition turned", "turned")
        if number:
            self.wrap(span(cursor), f"pm::negated({number}, ")

    def branch(self, cursor, condition, then) -> None:
        refuses = REFUSALS.search(self.text(then)) is not None
        number = self.mutant(span(condition), "refusal dropped" if refuses else "branch never taken", "never taken")
        if number:
            self.wrap(span(condition), f"pm::never({number}, ")
        self.condition(condition)

    def answer(self, cursor) -> None:
        called = cursor.referenced
        if called is None or called.kind in (K.CONSTRUCTOR, K.CONVERSION_FUNCTION) or called.spelling in ("move", "forward"):
            return
        if cursor.spelling.startswith("operator") and cursor.spelling != "operator()":
            return
        if not (ANSWERS.match(cursor.type.get_canonical().spelling) or called.spelling == "gaugeDoubts") or "&" in called.result_type.spelling:
            return
        number = self.mutant(span(cursor), "permission granted", "answers that nothing stands in the way")
        if number:
            self.wrap(span(cursor), f"pm::granted({number}, ")

    def statements(self, list_of) -> None:
        """Statements that only put a finding, an obstacle or a hold on a list."""
        for statement in list_of:
            call = self.bare(statement)
            if call.kind != K.CALL_EXPR or not self.puts_on_a_list(call):
                continue
            number = self.mutant(span(call), "finding dropped", "dropped")
            if number:
                self.wrap(span(call), f"(pm::on({number}) ? void() : void(", "))")

    def puts_on_a_list(self, call) -> bool:
        inner = list(call.get_children())
        if call.spelling == "operator()" and call.type.kind == cindex.TypeKind.VOID:
            return True
        target = inner[0] if call.spelling in ("push_back", "insert", "emplace_back") and inner else next(iter(call.get_arguments()), None)
        if target is None or call.spelling.startswith("operator"):
            return False
        holder = next(target.get_children(), target) if target.kind == K.MEMBER_REF_EXPR and call.spelling in ("push_back", "insert", "emplace_back") else target
        return LISTS.search(holder.type.get_canonical().spelling) is not None

    def conversion(self, measure, like) -> None:
        number = self.mutant(span(like), "unit", f"{self.text(measure)} is not converted", once=("like", span(like)))
        if number:
            self.wrap(span(like), f"(pm::on({number}) ? ({self.text(measure)}) : (", "))")

    def unit(self, cursor) -> None:
        name = re.fullmatch(r"(?:platemark::)?unit::(\w+)", self.text(cursor))
        if not name or name.group(1) not in OTHER_UNIT:
            return
        different = f"unit::{OTHER_UNIT[name.group(1)]}"
        number = self.mutant(span(cursor), "unit", different)
        if number:
            self.wrap(span(cursor), f"pm::other({number}, ", f", platemark::{different})")

    def in_table(self, cursor) -> bool:
        """Inside a list of verbs: the nearest opening before it is a verb<…>( of this source."""
        before = self.cut(0, span(cursor)[0])
        at = before.rfind("verb<")
        return at >= 0 and ";" not in before[at:] and before[at:].count("(") - before[at:].count(")") == 1

    def permit(self, cursor) -> None:
        name = re.fullmatch(r"Operation::(\w+)", self.text(cursor))
        if not name or not self.in_table(cursor):
            return
        every = [c.spelling for c in cursor.referenced.semantic_parent.get_children() if c.kind == K.ENUM_CONSTANT_DECL]
        another = "Operation::" + every[(every.index(name.group(1)) + 1) % len(every)]
        number = self.mutant(span(cursor), "permit", another, once=("permit", span(cursor)))
        if number:
            self.wrap(span(cursor), f"pm::inTable({number}, ", f", {another})")


def span(cursor) -> tuple[int, int]:
    return cursor.extent.start.offset, cursor.extent.end.offset
