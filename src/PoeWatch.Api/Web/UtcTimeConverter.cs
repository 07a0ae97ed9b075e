using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace PoeWatch.Api.Web;

/// <summary>Times as RFC 3339 in UTC with a Z, to the millisecond.</summary>
internal sealed class UtcTimeConverter : JsonConverter<DateTimeOffset>
{
    public static string Write(DateTimeOffset time) => time.ToUniversalTime().ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture);

    public override DateTimeOffset Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => reader.GetDateTimeOffset();

    public override void Write(Utf8JsonWriter writer, DateTimeOffset value, JsonSerializerOptions options) => writer.WriteStringValue(Write(value));
}
