using Microsoft.AspNetCore.OpenApi;

namespace PoeWatch.Api.Web;

/// <summary>What each parameter of the API means, in the OpenAPI document. A name means the same at every address.</summary>
internal static class ParameterWords
{
    private static readonly Dictionary<string, string> Words = new(StringComparer.Ordinal)
    {
        ["limit"] = "Most items in the page, 1 to 500; 100 by default.",
        ["cursor"] = "The nextCursor of the page before.",
        ["pse"] = "Id of the switch, managed injector or managed pass-through switch.",
        ["group"] = "Number of the PSE group, as RFC 3621 counts.",
        ["budgetW"] = "Whole watts: whom would the group drop if no more than this budget were left?",
        ["port"] = "Number of the port in its group; in an export the port as the design writes it, such as quay-west:1/7.",
        ["pole"] = "Id of the pole.",
        ["type"] = "Id of a device type of the design: does one more of it fit?",
        ["cleared"] = "true: cleared alarms only; false: active ones only; both by default.",
        ["severity"] = "warning, minor, major or critical.",
        ["resource"] = "Resource of the alarm, such as run/quay-west:1/4.",
        ["id"] = "Id of the alarm: resource and type joined with '~'.",
        ["window"] = "Id of the maintenance window, such as mw-20261125-060000.",
        ["operators"] = "Among how many people the alarms are shared, 1 to 100; 1 by default.",
        ["from"] = "Begin of the period, included. RFC 3339 with offset or Z.",
        ["to"] = "End of the period, not included. RFC 3339 with offset or Z; a later time than now counts as now.",
        ["step"] = "Length of a step: whole seconds, minutes, hours or days with their unit, such as 30s, 15m, 1h, 1d; a fitting one by default.",
        ["level"] = "What is listed: switches, poles, runs or devices.",
        ["topic"] = "A condition such as dark, wet or paging-all, or temperature.",
        ["run"] = "Id of the run, such as quay-west:1/7; all runs by default.",
        ["month"] = "Year and month, such as 2026-11; the one now by default.",
        ["by"] = "What ranks ports: max, mean or energy; max by default.",
        ["state"] = "waiting, sent or dead (given up).",
        ["notice"] = "Id of the notice.",
        ["hash"] = "SHA-256 of the design, in hexadecimal digits.",
    };

    public static void Apply(OpenApiOptions options) => options.AddOperationTransformer((operation, _, _) =>
    {
        foreach (var parameter in operation.Parameters ?? [])
        {
            parameter.Description ??= Words.GetValueOrDefault(parameter.Name ?? string.Empty);
        }

        return Task.CompletedTask;
    });
}
