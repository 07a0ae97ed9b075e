using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace PoeWatch.Domain.DesignReports;

/// <summary>How a report is written as JSON: camel case, units in the names, numbers to a hundredth of a milli, unknown is null. Thread safe.</summary>
public static class ReportJson
{
    public static JsonSerializerOptions Options { get; } = Make();

    /// <summary>The whole report as JSON in UTF-8.</summary>
    public static byte[] Write(DesignReport report) => JsonSerializer.SerializeToUtf8Bytes(report, Options);

    private static JsonSerializerOptions Make()
    {
        var options = new JsonSerializerOptions(JsonSerializerDefaults.Web) { Converters = { new Rounded(), new Utc() } };
        options.MakeReadOnly(populateMissingResolver: true);
        return options;
    }

    private sealed class Rounded : JsonConverter<double>
    {
        public override double Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => reader.GetDouble();

        public override void Write(Utf8JsonWriter writer, double value, JsonSerializerOptions options) =>
            writer.WriteNumberValue(Math.Round(value, 5, MidpointRounding.AwayFromZero));
    }

    private sealed class Utc : JsonConverter<DateTimeOffset>
    {
        public override DateTimeOffset Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => reader.GetDateTimeOffset();

        public override void Write(Utf8JsonWriter writer, DateTimeOffset value, JsonSerializerOptions options) =>
            writer.WriteStringValue(value.ToUniversalTime().ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture));
    }
}
