using System.Globalization;

namespace PoeWatch.Domain.DesignReports.Pages;

/// <summary>The one style sheet of the page; for A4 and for the screen, and it works in black and white.</summary>
internal static class PageStyle
{
    private const string Fixed = """
        :root { color-scheme: light; }
        * { box-sizing: border-box; }
        body { margin: 0 auto; max-width: 190mm; padding: 8mm 6mm; background: #fff; color: #111; font: 9.5pt/1.4 "Liberation Sans", Arial, Helvetica, sans-serif; }
        h1 { font-size: 20pt; line-height: 1.15; margin: 0 0 1mm; }
        h2 { font-size: 13pt; line-height: 1.25; margin: 8mm 0 2mm; padding-bottom: 1mm; border-bottom: 1.5pt solid #111; }
        h3 { font-size: 10.5pt; margin: 5mm 0 1mm; }
        p { margin: 1mm 0; }
        .site { font-size: 14pt; margin: 0 0 4mm; }
        .verdict { margin: 3mm 0; padding: 2mm 3mm; border: 1pt solid #111; border-left-width: 4pt; font-weight: bold; }
        .quiet { color: #444; font-size: 8.5pt; }
        dl { display: grid; grid-template-columns: max-content 1fr; gap: .6mm 5mm; margin: 2mm 0; }
        dt { font-weight: bold; }
        dd { margin: 0; overflow-wrap: anywhere; }
        table { width: 100%; border-collapse: collapse; margin: 2mm 0 4mm; font-size: 8.5pt; line-height: 1.3; }
        caption { text-align: left; font-weight: bold; font-size: 9.5pt; padding: 1mm 0; break-after: avoid; }
        th, td { text-align: left; vertical-align: top; padding: .8mm 1.5mm; border-bottom: .5pt solid #999; overflow-wrap: break-word; }
        th { border-bottom: 1pt solid #111; border-top: 1pt solid #111; font-size: 8pt; overflow-wrap: normal; }
        .n { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }
        .mark { border: .5pt solid #111; padding: 0 .8mm; font-size: 7.5pt; white-space: nowrap; }
        .caution { border: 1.5pt solid #111; padding: 2mm 4mm; margin: 4mm 0; break-inside: avoid; }
        .caution h2 { border: 0; margin: 0; padding: 0; font-size: 11pt; }
        .caution ul { margin: 1mm 0 0; padding-left: 5mm; }
        ol, ul { margin: 1mm 0; padding-left: 7mm; }
        li { margin: .6mm 0; }
        a { color: inherit; }
        svg { display: block; width: 100%; height: auto; margin: 2mm 0; }
        svg text { font-family: "Liberation Sans", Arial, Helvetica, sans-serif; fill: #111; font-variant-numeric: tabular-nums; }
        .box { fill: #fff; stroke: #111; stroke-width: 1; }
        .source { stroke-width: 2.6; }
        .extender { stroke-dasharray: 6 3; }
        .inner { fill: none; stroke: #111; stroke-width: .7; }
        .wire { fill: none; stroke: #111; stroke-width: 1.6; }
        .name { font-size: 11.5px; font-weight: bold; }
        .about { font-size: 9.5px; }
        .figure { font-size: 10.5px; }
        @media screen { section.sheet { margin-top: 14mm; } }
        @media print {
          body { max-width: none; padding: 0; }
          section.sheet { break-before: page; }
          section.sheet > h2 { margin-top: 0; }
          h2, h3 { break-after: avoid; }
          svg, tr, li, dl { break-inside: avoid; }
          tbody tr:first-child { break-before: avoid; }
          thead { display: table-header-group; }
        }
        """;

    internal static string Of(DesignReport report) =>
        Of($"Design report: {report.SiteName}", $"Design {ReportWords.ShortHash(report)}, {ReportWords.Date(report.MadeAt)}");

    /// <summary>Differs by report only in what the edges of the printed page say.</summary>
    internal static string Of(string topLeft, string topRight) => $$"""
        {{Fixed}}
        @page {
          size: A4; margin: 18mm 14mm 16mm;
          @top-left { content: {{Quoted(topLeft)}}; font: 8pt "Liberation Sans", Arial, sans-serif; }
          @top-right { content: {{Quoted(topRight)}}; font: 8pt "Liberation Sans", Arial, sans-serif; }
          @bottom-left { content: "Not a life-safety supply. Local codes and licensed practice decide."; font: 8pt "Liberation Sans", Arial, sans-serif; }
          @bottom-right { content: "Page " counter(page) " of " counter(pages); font: 8pt "Liberation Sans", Arial, sans-serif; }
        }

        """;

    /// <summary>A string of CSS in which everything that is not a plain letter or digit is written by its number: it can end neither string nor style sheet.</summary>
    private static string Quoted(string words) => $"\"{string.Concat(words.EnumerateRunes().Select(rune => char.IsAsciiLetterOrDigit((char)Math.Min(rune.Value, 0xFFFF))
        ? rune.ToString()
        : string.Create(CultureInfo.InvariantCulture, $"\\{(rune.Value < ' ' ? ' ' : rune.Value):X6}")))}\"";
}
