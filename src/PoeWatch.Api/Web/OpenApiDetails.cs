using Microsoft.AspNetCore.OpenApi;
using Microsoft.OpenApi;
using PoeWatch.Api.Endpoints;

namespace PoeWatch.Api.Web;

/// <summary>What the OpenAPI document says beyond what the code shows: who we are, how keys are shown, how times are written.</summary>
internal static class OpenApiDetails
{
    public static void Apply(OpenApiOptions options)
    {
        ParameterWords.Apply(options);
        options.AddDocumentTransformer((document, _, _) =>
        {
            document.Info = new OpenApiInfo
            {
                Title = "PoeWatch",
                Version = "v1",
                Description =
                    "Holds a PoE network of outdoor poles against its design. Numbers carry their unit in the name, times are RFC 3339 in UTC, "
                    + "an unknown value is null and never 0, every draw names its provenance. Reads switches, never writes to them. "
                    + "PoE is not a life-safety supply.",
            };
            document.Components ??= new OpenApiComponents();
            document.Components.SecuritySchemes ??= new Dictionary<string, IOpenApiSecurityScheme>(StringComparer.Ordinal);
            document.Components.SecuritySchemes["key"] = new OpenApiSecurityScheme
            {
                Type = SecuritySchemeType.Http,
                Scheme = "bearer",
                Description = "A key made with the command 'key NAME'. Not asked for where the service listens on loopback without keys.",
            };
            document.Security = [new OpenApiSecurityRequirement { [new OpenApiSecuritySchemeReference("key", document)] = [] }];
            document.Servers = [];
            return Task.CompletedTask;
        });
        options.AddSchemaTransformer((schema, context, _) =>
        {
            // A type that is read from text shows as plain text there; what it is stands in the parameter.
            var type = context.ParameterDescription?.ParameterDescriptor?.ParameterType ?? context.JsonTypeInfo.Type;
            if ((Nullable.GetUnderlyingType(type) ?? type) == typeof(Moment))
            {
                (schema.Type, schema.Format) = (JsonSchemaType.String, "date-time");
            }

            return Task.CompletedTask;
        });
    }
}
